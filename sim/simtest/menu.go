package simtest

import (
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
)

// Choices resolves a menu's text; a mistake ends the test.
func Choices(t testing.TB, lib *params.Library, text string) *rotations.Choices {
	t.Helper()
	var m sheet.Mistakes
	var c *rotations.Choices
	if u := rotations.ReadMenu("menu.yaml", []byte(text), &m); u != nil {
		c = u.Resolve(lib, &m)
	}
	if m.Len() > 0 || c == nil {
		t.Fatalf("%v\n%s", m.Error(), text)
	}
	return c
}

// Rotation is the calendar of one rotation of a menu, as a plan of its own.
func Rotation(t testing.TB, lib *params.Library, c *rotations.Choices, r rotations.Rotation) *rotations.Calendar {
	t.Helper()
	var m sheet.Mistakes
	p, err := c.Menu.PlanOf(r, &m)
	if err != nil || m.Len() > 0 {
		t.Fatal(err, m.Error())
	}
	out := p.Resolve(lib, &m)
	if m.Len() > 0 {
		t.Fatal(m.Error())
	}
	return out
}

// Every lists the rotations of a menu.
func Every(c *rotations.Choices) (out []rotations.Rotation) {
	var walk func(node int, so rotations.Rotation)
	walk = func(node int, so rotations.Rotation) {
		if len(c.Nodes[node].Steps) == 0 {
			out = append(out, append(rotations.Rotation{}, so...))
		}
		for _, s := range c.Nodes[node].Steps {
			walk(s.To, append(so, s.Entry))
		}
	}
	walk(0, nil)
	return out
}
