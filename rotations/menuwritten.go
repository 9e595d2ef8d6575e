package rotations

import (
	"bufio"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"rundown/params/sheet"
)

// WritePlan writes a rotation as a plan, with every season as the menu has it. The plan is to
// lie in a folder, from which files that the menu names are found again.
func (u *Menu) WritePlan(w io.Writer, r Rotation, folder, about string) error {
	out := bufio.NewWriter(w)
	line := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }
	root := u.plan.Root
	line("# %s", about)
	line("format: %d", format)
	if v := root.Get("library"); v != nil {
		line("library: %s", text(u.from(folder, v.Text)))
	}
	for _, section := range []string{"field", "weed", "economics", "units"} {
		v := root.Get(section)
		if v == nil {
			continue
		}
		line("%s:", section)
		for i, k := range v.Node.Keys {
			if section != "field" || k.Text != "before" {
				line("  %s: %s", key(k.Text), nodeText(u.moved(v.Node.Values[i], k.Text, folder)))
			}
		}
	}
	line("seasons:")
	for _, e := range r {
		line("  - %s # %s", nodeText(u.Entries[e].value.Node), strings.Join(strings.Fields(u.Entries[e].Name), " "))
	}
	if v := root.Get("afterwards"); v != nil {
		line("afterwards: %s", nodeText(v.Node))
	}
	if v := root.Get("discount"); v != nil {
		line("discount: %s", nodeText(v.Node))
	}
	return out.Flush()
}

// moved is a value of the field with files as they are found from a folder.
func (u *Menu) moved(n *sheet.Node, key, folder string) *sheet.Node {
	file := func(n *sheet.Node) *sheet.Node {
		out := *n
		out.Text, out.Quoted = u.from(folder, n.Text), true
		return &out
	}
	if key != "weather" && key != "climate" {
		return n
	}
	if n.Shape != sheet.Map {
		if key == "climate" {
			return n
		}
		return file(n)
	}
	out := *n
	out.Values = append([]*sheet.Node{}, n.Values...)
	for i, k := range n.Keys {
		if k.Text == "file" || k.Text == "from" {
			out.Values[i] = file(n.Values[i])
		}
	}
	return &out
}

// from is the name of a file that the menu names, from another folder.
func (u *Menu) from(folder, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	at, err1 := filepath.Abs(filepath.Join(filepath.Dir(u.File), name))
	base, err2 := filepath.Abs(folder)
	if rel, err := filepath.Rel(base, at); err == nil && err1 == nil && err2 == nil {
		return filepath.ToSlash(rel)
	}
	return name
}
