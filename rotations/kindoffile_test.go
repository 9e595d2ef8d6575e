package rotations

import (
	"strings"
	"testing"

	"rundown/params/sheet"
)

// A menu where a plan is wanted, or a plan where a menu is, gets one error that says what it is and
// which command takes it.
func TestAFileOfTheOtherKindIsToldOnce(t *testing.T) {
	const place = "field: {name: A, area_ha: 3, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 3}\n"
	const menu = place + "years: 3\nmenu: {wheat: {crop: winter-wheat}}\nrules: []\n"
	const plan = place + "seasons: [{crop: winter-wheat}]\nrepeat: 3\n"
	for _, c := range []struct {
		read func(m *sheet.Mistakes) bool
		want string
	}{
		{func(m *sheet.Mistakes) bool { return Read("f.yaml", []byte(menu), m) == nil }, "f.yaml:4:1: this is a menu"},
		{func(m *sheet.Mistakes) bool { return ReadMenu("f.yaml", []byte(plan), m) == nil }, "f.yaml:3:1: this is a plan and not a menu"},
	} {
		m := &sheet.Mistakes{}
		if !c.read(m) || m.Len() != 1 || !strings.Contains(m.Error(), c.want) || !strings.Contains(m.Error(), "'rundown ") {
			t.Errorf("%d mistakes, expected one, %q with a command:\n%v", m.Len(), c.want, m)
		}
	}
	m := &sheet.Mistakes{}
	ReadFields("f.csv", []byte("name,area_ac\nA,20\n"), m)
	if m.Len() != 1 || !strings.Contains(m.Error(), `in hectares and metres: use "area_ha"`) {
		t.Errorf("a column in acres: %v", m)
	}
}
