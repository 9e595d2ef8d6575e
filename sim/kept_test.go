package sim

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
)

// What is kept is made once, whoever asks at a time, and never more of it than may be:
// what was asked for the longest ago goes. What could not be made is tried again.
func TestKept(t *testing.T) {
	k := kept[int, string]{most: 3}
	var made atomic.Int64
	ask := func(key int) {
		v, err := k.get(key, func() (string, error) { made.Add(1); return fmt.Sprint(key), nil })
		if v != fmt.Sprint(key) || err != nil || len(k.held) > 3 {
			t.Fatalf("%d gave %q, %v; %d are held", key, v, err, len(k.held))
		}
	}
	for _, key := range []int{1, 2, 3, 1, 2, 3, 1} {
		ask(key)
	}
	if made.Load() != 3 {
		t.Errorf("three were made %d times", made.Load())
	}
	ask(4) // 2 was asked for the longest ago
	ask(1)
	ask(3)
	if made.Load() != 4 {
		t.Errorf("%d were made, expected 4", made.Load())
	}
	ask(2)
	if made.Load() != 5 {
		t.Errorf("%d were made, expected 5: one had to go", made.Load())
	}
	for range 2 {
		if _, err := k.get(9, func() (string, error) { made.Add(1); return "", fmt.Errorf("no") }); err == nil {
			t.Error("an error was lost")
		}
	}
	if made.Load() != 7 {
		t.Errorf("what failed was tried %d times, expected 2", made.Load()-5)
	}
	var wait sync.WaitGroup
	made.Store(0)
	fresh := kept[int, string]{most: 8}
	for i := range 64 {
		wait.Go(func() {
			_, _ = fresh.get(i%8, func() (string, error) { made.Add(1); return "", nil })
		})
	}
	wait.Wait()
	if made.Load() != 8 {
		t.Errorf("eight were made %d times by many at once", made.Load())
	}
}
