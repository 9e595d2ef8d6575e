package output

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// redrawEvery keeps the progress line calm.
const redrawEvery = 100 * time.Millisecond

// Progress is one line on a terminal that says how far long work has come, at
// what rate, and how long it will still take. On anything else it is silent.
// Its methods may be called from several goroutines.
type Progress struct {
	mu     sync.Mutex
	w      io.Writer
	show   Terminal
	what   string // what is counted, e.g. "runs"
	now    func() time.Time
	start  time.Time
	last   time.Time
	drawn  bool
	closed bool
}

// NewProgress starts the clock. Nothing is shown before the first Update that
// comes at least a tenth of a second later, so that quick work stays silent.
func NewProgress(w io.Writer, show Terminal, what string) *Progress {
	return startProgress(w, show, what, time.Now)
}

func startProgress(w io.Writer, show Terminal, what string, now func() time.Time) *Progress {
	t := now()
	return &Progress{w: w, show: show, what: what, now: now, start: t, last: t}
}

// Update says that done of total are finished.
func (p *Progress) Update(done, total int) {
	if !p.show.Interactive || total <= 0 {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	now := p.now()
	if p.closed || now.Sub(p.last) < redrawEvery {
		return
	}
	p.last = now
	p.drawn = true
	// A progress line that cannot be written is no reason to stop the work.
	_, _ = io.WriteString(p.w, "\r"+p.line(done, total, now.Sub(p.start))+"\x1b[K")
}

// Clear wipes the line; later updates are ignored.
func (p *Progress) Clear() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	if p.drawn {
		_, _ = io.WriteString(p.w, "\r\x1b[K")
	}
}

// line is kept one column short of the width: some terminals wrap a full line.
func (p *Progress) line(done, total int, spent time.Duration) string {
	rate := float64(done) / spent.Seconds()
	left := "?"
	if done > 0 {
		left = inWords(time.Duration(float64(total-done) / rate * float64(time.Second)))
	}
	text := fmt.Sprintf(" %d of %d %s, %s a second, %s left", done, total, p.what, wholeOrTenth(rate), left)
	room := p.show.Columns - 1 - len(text) - 2
	bar := ""
	if room >= 8 {
		room = min(room, 30)
		full := room * min(done, total) / total
		bar = "[" + strings.Repeat("#", full) + strings.Repeat(".", room-full) + "]"
	}
	if line := bar + text; len(line) < p.show.Columns {
		return line
	}
	return text[:p.show.Columns-1]
}

func wholeOrTenth(x float64) string {
	if x < 10 {
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.0f", x)
}

// inWords is a duration to the precision that a waiting person needs.
func inWords(d time.Duration) string {
	s := int(d.Seconds() + 0.5)
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s < 3600:
		return fmt.Sprintf("%d min %02d s", s/60, s%60)
	default:
		return fmt.Sprintf("%d h %02d min", s/3600, s/60%60)
	}
}
