package command

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"chalkfield/internal/base/wording"

	"golang.org/x/term"
)

// bar is a line on a terminal that tells how far a study is; elsewhere it is nothing.
type bar struct {
	to           io.Writer // nil: nowhere
	doing        string
	done, total  int
	begun, drawn time.Time
	wide         int // letters of the line that stands there
}

// barWidth is how many signs the whole of the work has, and redrawn how often it is shown at most.
const (
	barWidth = 30
	redrawn  = 100 * time.Millisecond
)

func progress(w io.Writer, total int) *bar {
	b := &bar{doing: "rehearsing", total: total, begun: time.Now()}
	if file := terminal(w); file != nil {
		b.to = file
	}
	return b
}

// terminal is the terminal that a stream leads to, or nil.
func terminal(w io.Writer) *os.File {
	if shown, is := w.(*wording.VisibleWriter); is {
		w = shown.Under()
	}
	if file, is := w.(*os.File); is && term.IsTerminal(int(file.Fd())) {
		return file
	}
	return nil
}

// add counts what was done. A bar that cannot be drawn is no reason to stop.
func (b *bar) add(n int) {
	b.done += n
	if now := time.Now(); b.to != nil && now.Sub(b.drawn) >= redrawn {
		b.drawn = now
		b.show(b.line(now.Sub(b.begun)))
	}
}

// at says what is being done, and what share of all is.
func (b *bar) at(doing string, share float64) {
	b.doing = doing
	b.add(int(share*float64(b.total)) - b.done)
}

// line is what the bar says after a time.
func (b *bar) line(since time.Duration) string {
	share, left := 1.0, time.Duration(0)
	if b.done < b.total {
		share = float64(b.done) / float64(b.total)
		left = time.Duration(float64(since) / max(share, 1e-9) * (1 - share))
	}
	full := int(share * barWidth)
	if b.done == 0 {
		left = 0 // not known
	}
	return fmt.Sprintf("%s [%s%s] %d of %d%s", b.doing, strings.Repeat("#", full), strings.Repeat(" ", barWidth-full),
		b.done, b.total, timeLeft(left))
}

// show puts a line over the one that stands there.
func (b *bar) show(line string) {
	fmt.Fprintf(b.to, "\r%-*s", b.wide, line)
	b.wide = len(line)
}

// timeLeft is what the bar says of the time still needed: ", 1m44s left"; nothing before the first is done.
func timeLeft(left time.Duration) string {
	if left <= 0 {
		return ""
	}
	return fmt.Sprintf(", %s left", left.Round(time.Second))
}

// clear leaves an empty line.
func (b *bar) clear() {
	if b.to != nil && b.wide > 0 {
		b.show("")
		fmt.Fprint(b.to, "\r")
	}
}
