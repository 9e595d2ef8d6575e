package params

import (
	"fmt"

	"rundown/params/sheet"
)

// former are names that entries had, by kind and name, and what they are called now.
var former = map[string]string{
	"covers/oat-bean-pea": "oats-legumes",
}

// DidYouMean ends a message about a name that is not among those of these kinds:
// what it is called now if it was the name of an entry once, else the nearest one.
func (l *Library) DidYouMean(name string, kinds ...string) string {
	var names []string
	for _, kind := range kinds {
		if now := former[kind+"/"+name]; now != "" && l.Find(kind, now) != nil {
			return fmt.Sprintf("it is called %q now", now)
		}
		names = append(names, l.Names(kind)...)
	}
	return sheet.DidYouMean(name, names)
}
