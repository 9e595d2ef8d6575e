package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"rundown/sim/simtest"
)

// mount mounts a file system for the test, which is skipped where that is not
// allowed.
func mount(t *testing.T, at, options string, flags uintptr) {
	t.Helper()
	if os.Getuid() != 0 {
		t.Skip("skipped: mounting a file system needs root")
	}
	if err := os.MkdirAll(at, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mount("rundown-test", at, "tmpfs", flags, options); err != nil {
		t.Skipf("skipped: no file system can be mounted here: %v", err)
	}
	whole, err := filepath.Abs(at)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(whole, 0); err != nil {
			t.Error(err)
		}
	})
}

// A disk that is really full: exit code 4, the file that did not fit by name,
// nothing new left, and what was there stays.
func TestTinyDisk(t *testing.T) {
	simtest.Stage(t, "processes")
	writingFolder(t)
	mount(t, "disk", "size=32k", 0)
	if err := os.WriteFile("disk/bands.csv", []byte("earlier"), 0o644); err != nil {
		t.Fatal(err)
	}
	before := strings.Join(listing(t, "disk"), " ")
	const full = " cannot be written: no space left on device"
	told := map[string]string{
		"forecast plan.yaml --replicates 5 --out disk":                                    filepath.Join("disk", "bands.png") + full,
		"forecast plan.yaml --replicates 5 --out disk/deep/er":                            filepath.Join("disk", "deep", "er", "bands.png") + full,
		"update plan.yaml counts.csv --replicates 20 --posterior disk/past.json":          filepath.Join("disk", "past.json") + full,
		"forecast plan.yaml --replicates 500 --part 1/2 --out disk/parts":                 filepath.Join("disk", "parts", "part-1-of-2.rundown") + full,
		"update plan.yaml counts.csv --replicates 20 --posterior disk/p.json --out whole": filepath.Join("disk", "p.json") + full,
	}
	for _, line := range writing() {
		told[line+" --out disk/deep"] = full
	}
	for args, want := range told {
		got := run(t, strings.Fields(args)...)
		if got.code != exitUnfinished || !strings.Contains(got.stderr, want) || got.stdout != "" {
			t.Errorf("%s: exit %d, stdout %q, stderr %q; want exit 4 and %q", args, got.code, got.stdout, got.stderr, want)
		}
		if strings.HasPrefix(args, "farm ") { // what it has made stays for --resume, and is not a result
			if err := os.RemoveAll("disk/deep.unfinished"); err != nil {
				t.Fatal(err)
			}
		}
		if after := strings.Join(listing(t, "disk"), " "); after != before {
			t.Errorf("%s: left %s; before: %s", args, after, before)
		}
		if b, _ := os.ReadFile("disk/bands.csv"); string(b) != "earlier" {
			t.Errorf("%s: the earlier file holds %q", args, b)
		}
	}
	if names := listing(t, "."); slices.Contains(names, "whole") {
		t.Errorf("an update whose posterior does not fit left %v", names)
	}
}

// A folder that nothing can be written to: exit code 4 and what could not be
// made or written by name. Root may write where permissions forbid it, so
// that a read-only file system stands in for it there.
func TestReadOnlyFolder(t *testing.T) {
	writingFolder(t)
	reason := "permission denied"
	if os.Getuid() == 0 {
		mount(t, "locked", "size=1m", syscall.MS_RDONLY)
		reason = "read-only file system"
	} else if err := os.Mkdir("locked", 0o555); err != nil {
		t.Fatal(err)
	}
	told := map[string]string{
		"forecast plan.yaml --replicates 5 --out locked":                           "the folder locked cannot be written: " + reason,
		"forecast plan.yaml --replicates 5 --out locked/out":                       "the folder " + filepath.Join("locked", "out") + " cannot be made: " + reason,
		"new locked/plan.yaml":                                                     filepath.Join("locked", "plan.yaml") + " cannot be written: " + reason,
		"update plan.yaml counts.csv --replicates 20 --posterior locked/past.json": filepath.Join("locked", "past.json") + " cannot be written: " + reason,
	}
	for _, line := range writing() {
		told[line+" --out locked"] = " cannot be written: " + reason
	}
	for args, want := range told {
		got := run(t, strings.Fields(args)...)
		if got.code != exitUnfinished || !strings.Contains(got.stderr, want) || got.stdout != "" {
			t.Errorf("%s: exit %d, stdout %q, stderr %q; want exit 4 and %q", args, got.code, got.stdout, got.stderr, want)
		}
	}
}
