package parts

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"rundown/sim/simtest"
)

// Ten thousand parts, the most there can be, are gathered though only a few files may be
// open at once; of ten thousand one that is missing and one that is torn are named.
func TestTenThousandParts(t *testing.T) {
	simtest.Stage(t, "long")
	dir := t.TempDir()
	for part := 1; part <= Most; part++ {
		h, numbers := example(part, Most)
		if err := os.WriteFile(filepath.Join(dir, FileName(part, Most, 1)), written(t, h, numbers), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	open, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Fatal(err)
	}
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit); err != nil {
		t.Fatal(err)
	}
	few := limit
	few.Cur = uint64(len(open) + 4)
	if err := syscall.Setrlimit(syscall.RLIMIT_NOFILE, &few); err != nil {
		t.Fatal(err)
	}
	set, err := Gather(context.Background(), dir, 1)
	if back := syscall.Setrlimit(syscall.RLIMIT_NOFILE, &limit); back != nil {
		t.Fatal(back)
	}
	if err != nil || len(set.Paths) != Most {
		t.Fatalf("%v", err)
	}
	if err := os.Remove(set.Paths[4999]); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(set.Paths[7], 700); err != nil {
		t.Fatal(err)
	}
	_, err = Gather(context.Background(), dir, 1)
	for _, want := range []string{"missing in " + dir + ": part 5000 of 10000", FileName(8, Most, 1) + " cannot be joined: it is torn"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.300v, expected %q", err, want)
		}
	}
}
