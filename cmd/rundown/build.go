package main

import (
	"runtime"
	"runtime/debug"

	"rundown/cmd/internal/report"
)

// build says what this program was made from, as far as its binary tells.
func build() report.Provenance {
	p := report.Provenance{Version: "devel", Go: runtime.Version(), Modules: []report.Module{}}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return p
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		p.Version = v
	}
	for _, d := range info.Deps {
		if d.Replace != nil {
			d = d.Replace
		}
		p.Modules = append(p.Modules, report.Module{Path: d.Path, Version: d.Version})
	}
	changed := false
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			p.Commit = s.Value
		case "vcs.modified":
			changed = s.Value == "true"
		}
	}
	if p.Commit != "" && changed {
		p.Commit += "+changes"
	}
	return p
}
