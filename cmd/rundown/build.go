package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
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

// identity is build with what tells the program's file from any other where no commit stands
// for it. Words alone do not hold it, so that it is read only for what does.
func identity() report.Provenance {
	p := build()
	if p.Commit == "" || strings.HasSuffix(p.Commit, "+changes") {
		p.Executable = executableMark
	}
	return p
}

// executable stands for the mark of the program's file where the linker sets it, as
// .ci/samebytes does: the files of two commits differ even where their numbers do not.
var executable string

// executableMark is the mark of the program's own file: what is known of a build that no
// commit stands for. It is the linker's; where there is none the SHA-256 of the file, which takes
// as long as half a forecast of a few runs.
var executableMark = sync.OnceValue(func() string {
	if executable != "" {
		return executable
	}
	mark, err := readOwn(func(f io.Reader) (string, error) {
		head, err := io.ReadAll(io.LimitReader(f, markWithin))
		return linkersMark(head), err
	})
	if err == nil && mark != "" {
		return "build " + mark
	}
	sum, err := ownSum()
	if err != nil {
		return "not known: the program's file cannot be read"
	}
	return "SHA-256 " + sum
})

// ownSum is the SHA-256 of the program's own file, which is read once.
var ownSum = sync.OnceValues(func() (string, error) {
	return readOwn(func(f io.Reader) (string, error) {
		sum := sha256.New()
		_, err := io.Copy(sum, f)
		return hex.EncodeToString(sum.Sum(nil)), err
	})
})

func readOwn(read func(io.Reader) (string, error)) (string, error) {
	path, err := os.Executable()
	if err != nil {
		return "", err
	}
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	return read(f)
}

// markWithin is where Go's linker has written its mark, in bytes from the beginning of the file.
const markWithin = 32 << 10

// linkersMark is what Go's linker wrote into a file whose beginning is given, as 'go tool buildid'
// shows it: four hashes, of which the last is one of the file's whole content. "" where there is none
// of that form, as with -ldflags=-buildid=.
func linkersMark(head []byte) string {
	const note = "\x04\x00\x00\x00Go\x00\x00" // in an ELF file: the kind of the note and whose it is; its length stands before it
	mark := ""
	if at := bytes.Index(head, []byte(note)); at >= 4 {
		if from, n := at+len(note), int(binary.LittleEndian.Uint32(head[at-4:])); n > 0 && n <= len(head)-from {
			mark = string(head[from : from+n])
		}
	} else if _, rest, found := bytes.Cut(head, []byte("\xff Go build ID: \"")); found {
		if text, _, ended := bytes.Cut(rest, []byte("\"\n \xff")); ended {
			mark = string(text)
		}
	}
	if parts := strings.Split(mark, "/"); len(parts) != 4 || len(parts[3]) < 20 {
		return ""
	}
	return mark
}
