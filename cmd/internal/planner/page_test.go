package planner

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"testing"
)

// The page loads nothing from outside, has no style attribute and no script within, which its
// policy would drop, and is under 250 kB.
func TestThePageIsSmallAndWhole(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	_, index := v.status(v.request("GET", "/", ""))
	size := len(index)
	asked := regexp.MustCompile(`(?:src|href)="(/[^"]+)"`)
	imports := regexp.MustCompile(`from '\./([a-z]+\.js)'`)
	todo, seen := []string{}, map[string]bool{}
	for _, m := range asked.FindAllStringSubmatch(index, -1) {
		todo = append(todo, m[1])
	}
	for len(todo) > 0 {
		at := todo[0]
		todo = todo[1:]
		if seen[at] {
			continue
		}
		seen[at] = true
		code, text := v.status(v.request("GET", at, ""))
		if code != 200 {
			t.Errorf("%s, which the page asks for, is answered %d", at, code)
		}
		size += len(text)
		for _, m := range imports.FindAllStringSubmatch(text, -1) {
			todo = append(todo, "/"+m[1])
		}
		if strings.Contains(text, "http://") && !strings.Contains(text, "http://www.w3.org/") || strings.Contains(text, "https://") ||
			strings.Contains(text, "@import") || strings.Contains(text, "url(") {
			t.Errorf("%s names another address", at)
		}
	}
	if size >= 250_000 || len(seen) < 15 {
		t.Errorf("the page takes %d bytes in %d files", size, len(seen))
	}
	t.Logf("the page takes %d bytes in %d files", size, len(seen))
	for _, odd := range []string{" style=", "<style", "onclick=", "javascript:"} {
		if strings.Contains(index, odd) {
			t.Errorf("the page holds %q", odd)
		}
	}
	entries, err := pageFiles.ReadDir("page")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, _ := pageFiles.ReadFile("page/" + e.Name())
		if n := bytes.Count(data, []byte("\n")); n > 400 {
			t.Errorf("%s has %d lines", e.Name(), n)
		}
		if strings.HasSuffix(e.Name(), ".js") && !seen["/"+e.Name()] && e.Name() != "enter.js" {
			t.Errorf("%s is not used", e.Name())
		}
	}
}

// The report goes out as a document of its own, under the policy that it brings.
func TestTheReport(t *testing.T) {
	inFull(t)
	v := serve(t, nil)
	v.enter()
	var made struct{ Path string }
	if code := v.post("/api/report", map[string]string{"Name": "plan.yaml", "Text": short}, &made); code != 200 {
		t.Fatal(code)
	}
	a, err := v.client.Do(v.request("GET", made.Path, ""))
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	if got := a.Header.Get("Content-Security-Policy"); a.StatusCode != 200 || !strings.Contains(got, "script-src 'sha256-") || !strings.Contains(got,
		"default-src 'none'") || !strings.Contains(got, "frame-ancestors 'none'") {
		t.Errorf("%d, policy %q", a.StatusCode, got)
	}
	if code, _ := v.status(v.request("GET", made.Path, "", without("Cookie"))); code != 403 {
		t.Errorf("a report without cookie is answered %d", code)
	}
	if code, _ := v.status(v.request("GET", "/report/nothing", "")); code != 404 {
		t.Errorf("a report that is not there is answered %d", code)
	}
}

// What cannot be drawn is shown and left to the text: choices, and the later years of a ley.
func TestWhatIsLeftToTheText(t *testing.T) {
	inFull(t)
	v := serve(t, nil)
	v.enter()
	head := "field: {area_ha: 8, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 25}\nseasons:\n"
	p, err := v.s.read("plan.yaml", []byte(head+"  - {crop: grass-ley, years: 3}\n  - crop: winter-wheat\n"), nil)
	if err != nil || p.Calendar == nil {
		t.Fatal(err, p.Mistakes)
	}
	s := p.view().Seasons
	if len(s) != 4 || s[0].Year != 1 || s[2].Year != 3 || s[2].Years != 3 || s[3].Entry != 1 || !s[3].Drawn {
		t.Errorf("a ley is drawn as %+v", s)
	}
	p, err = v.s.read("plan.yaml",
		[]byte(head+"  - crop: spring-oats\n  - choose:\n      - {if: {heads_per_m2: {above: 20}}, crop: spring-barley}\n      - {crop: winter-wheat}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if p.Calendar == nil {
		t.Fatal(p.Mistakes)
	}
	s = p.view().Seasons
	if s[1].Drawn || len(s[1].Branches) != 2 || !s[0].Drawn || len(s[0].Branches) != 0 {
		t.Errorf("a choice is drawn as %+v", s)
	}
	last := ""
	if err := v.stream(context.Background(), asks(string(p.Text)), func(e event) { last = e.name }); err != nil || last != "end" {
		t.Errorf("its forecast ends with %q, %v", last, err)
	}
	e := &editor{server: v.s, plan: p, text: p.Text}
	if err := e.make(change{Do: "place", Path: s[1].Path, Mark: "drill.date", Day: s[1].Open + 20}); err == nil {
		t.Error("a choice is changed as if it were a season")
	}
}
