package main

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"

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

// identity is build with the sum of the program's file where no commit stands for it. Words alone
// do not hold it, so that it is worked out only for what does.
func identity() report.Provenance {
	p := build()
	if p.Commit == "" || strings.HasSuffix(p.Commit, "+changes") {
		p.Executable = executableSum
	}
	return p
}

// executable stands for the sum of the program's file where the linker sets it, as
// .ci/samebytes does: the files of two commits differ even where their numbers do not.
var executable string

// executableSum is the SHA-256 of the program's own file: what is known of a build that no
// commit stands for.
var executableSum = sync.OnceValue(func() string {
	if executable != "" {
		return executable
	}
	sum, err := ownSum()
	if err != nil {
		return "not known: the program's file cannot be read"
	}
	return sum
})

// ownSum is the SHA-256 of the program's own file, which is read once.
var ownSum = sync.OnceValues(func() (string, error) {
	path, err := os.Executable()
	if err != nil {
		return "", err
	}
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
})
