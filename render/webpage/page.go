package webpage

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
)

//go:embed page.html
var pageText string

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{"titled": titled}).Parse(pageText))

// page is what every report shows, in the order of the page.
type page struct {
	Title, Subtitle string
	Warnings        []string // what must be known first
	Big             string   // one number that matters
	BadNews         bool     // Big tells of a failure
	Lead            []string // and what it means
	Figure          *figure
	Sections        []section
	Model           string
	Made            table
}

// figure is one picture, or two side by side, with one key.
type figure struct {
	Pictures []panel
	Key      []keyRow
	Caption  string
}

// panel is one of them.
type panel struct {
	Title string
	SVG   template.HTML
}

type keyRow struct {
	Swatch template.HTML
	Words  string
	Wide   bool // explains what only the wide picture shows
}

type section struct {
	Title, Note string
	Key         []keyRow
	Table       *table
	Picture     template.HTML
	Lines       []string
	Commands    []command
}

type command struct{ Words, Command string }

// fewRows is how many rows a table has that is kept on one sheet of paper, with its title.
const fewRows = 6

// Short reports whether a section is kept on one sheet of paper.
func (s section) Short() bool {
	return (s.Table == nil || len(s.Table.Rows) <= fewRows) && len(s.Commands) <= fewRows
}

// table is shown as cards on a narrow screen when it is stacked.
type table struct {
	Stack bool
	Head  []heading
	Rows  [][]cell
}

type heading struct {
	Words  string
	Number bool
}

// cell is one table cell: words, drawn tracks, a command, whichever are set.
type cell struct {
	Words, Command string
	Badge          string
	Tracks         []track // one below the other
	Number         bool
	Whole          bool   // the words stay on one line
	Name           string // heading, for stacked tables
}

// track is a drawn range: bars from a place on, solid ticks, dashed marks; all in percent of its width.
type track struct {
	Label string // what it shows, for those who do not see it
	Of    string // whose it is, where a cell has several
	Tall  bool   // columns stand in it
	Bars  []span
	Ticks []percent
	Marks []percent
}

// span is a bar. One with a height stands on the track's lower edge.
type span struct {
	Class               string
	From, Width, Height percent
}

// percent is cut to the track and to two decimals.
type percent float64

func (p percent) String() string { return fmt.Sprintf("%.2f", math.Max(0, math.Min(100, float64(p)))) }

// warn adds warnings, each with a full stop.
func (p *page) warn(words ...string) {
	for _, w := range words {
		p.Warnings = append(p.Warnings, strings.TrimSuffix(w, ".")+".")
	}
}

func titled(c cell, h heading) cell {
	c.Name, c.Number = h.Words, h.Number
	return c
}

func heads(names ...string) []heading {
	out := make([]heading, len(names))
	for i, name := range names {
		bare := strings.TrimPrefix(name, "#")
		out[i] = heading{bare, bare != name}
	}
	return out
}

func (p *page) write(w io.Writer) error {
	p.Model = strings.ReplaceAll(analysis.Model, "\n", " ")
	return pageTemplate.Execute(w, p)
}

// madeFrom lists the inputs with their hashes: two reports of the same inputs and seeds say the same.
func madeFrom(h *results.Header) table {
	t := table{Head: heads("input", "file", "SHA-256")}
	t.Rows = append(t.Rows, fileRow("field", h.Field))
	for i := range h.Variants {
		v := &h.Variants[i]
		for k, robot := range v.Robots {
			who := fmt.Sprintf("robot %d", k+1)
			if len(h.Variants) > 1 {
				who = fmt.Sprintf("%s of %c", who, 'a'+i)
			}
			t.Rows = append(t.Rows, fileRow(who, robot.File), fileRow("routine of "+who, robot.Routine))
		}
		for _, p := range v.Params {
			t.Rows = append(t.Rows, []cell{{Words: "parameter"}, {Words: fmt.Sprintf("%s = %.6g", p.Name, p.Value)}, {}})
		}
	}
	seeds := fmt.Sprint(h.Seed)
	if h.Count > 1 {
		seeds = fmt.Sprintf("%d to %d", h.Seed, h.Seed+uint64(h.Count)-1)
	}
	t.Rows = append(t.Rows, []cell{{Words: "seeds"}, {Words: seeds}, {}},
		[]cell{{Words: "Chalkfield"}, {Words: h.Program}, {}})
	return t
}

func fileRow(what string, f record.File) []cell {
	name := f.Name
	if f.Title != "" {
		name = fmt.Sprintf("%s (%s)", f.Title, f.Name)
	}
	return []cell{{Words: what}, {Words: name}, {Command: fmt.Sprintf("%.12s", f.SHA256)}}
}

// badge is the text of a number in a circle, "" for 0.
func badge(number int) string {
	if number == 0 {
		return ""
	}
	return fmt.Sprint(number)
}

// sentence begins words with a capital and ends them with a stop.
func sentence(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	return string(unicode.ToUpper(first)) + words[size:] + "."
}

// swatch is a line of the field picture's key.
func swatch(class string) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg viewBox="0 0 40 14" aria-hidden="true"><path class="way %s" d="M3 7H37" style="stroke-opacity:1"/></svg>`, class))
}

func crossSwatch() template.HTML {
	return `<svg viewBox="0 0 40 14" aria-hidden="true"><path d="M15 2L25 12M25 2L15 12" stroke="#ff9e7a" stroke-width="3" fill="none"/></svg>`
}
