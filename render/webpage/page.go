package webpage

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"chalkfield/internal/app/report"
)

//go:embed page.html
var pageText string

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{
	"sentence": sentence, "marked": marked, "percent": percent, "set": set, "short": short, "caution": caution,
}).Parse(pageText))

// page is what is told, with pictures.
type page struct {
	*report.Document
	Figures []*figure
	Below   []*figure // what is told
}

// Told are its sections.
func (p page) Told() []report.Section { return p.For(report.OnPage) }

// write leaves out the figures that are nil.
func (p page) write(w io.Writer) error {
	p.Figures = slices.DeleteFunc(p.Figures, func(f *figure) bool { return f == nil })
	return pageTemplate.Execute(w, p)
}

// figure is one picture, or two side by side, with one key.
type figure struct {
	Title    string
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

// fewRows is how many rows a table has that is kept on one sheet of paper, with its title.
const fewRows = 6

// short reports whether a section is kept on one sheet of paper.
func short(s report.Section) bool { return s.Table == nil || len(s.Table.Rows) <= fewRows }

// table is a table as the page sets it.
type table struct {
	*report.Table
	Stack bool  // as cards on a narrow screen
	Marks bool  // there is a column of numbers or letters by which a picture calls the rows
	Shown []int // of the columns
	Rows  []report.Row
}

const fewColumns = 4 // that are not stacked

func set(t *report.Table) table {
	marked := func(r report.Row) bool { return r.Mark != "" }
	out := table{Table: t, Shown: t.Shown(report.OnPage), Rows: t.Rows, Marks: slices.ContainsFunc(t.Rows, marked)}
	out.Stack = out.Marks || t.Look == report.List || len(out.Shown) > fewColumns
	if t.OnlyMarked {
		out.Rows = slices.DeleteFunc(slices.Clone(t.Rows), func(r report.Row) bool { return !marked(r) })
	}
	return out
}

// Cell is a row's cell with its column, and with what belongs to the row where it stands below this cell.
func (t table) Cell(r report.Row, i int) any {
	out := struct {
		report.Cell
		report.Column
		More     []string
		Commands []report.Command
	}{Cell: r.Cells[i], Column: t.Columns[i]}
	if i == 1 {
		out.More, out.Commands = r.More, r.Commands
	}
	return out
}

// percent is a share cut to the track, with two decimals.
func percent(share float64) string { return fmt.Sprintf("%.2f", math.Max(0, math.Min(100, 100*share))) }

// sentence begins words with a capital and ends them with a stop, unless they have an end or are a point of a list.
func sentence(words string) template.HTML {
	if point, is := strings.CutPrefix(words, report.Point); is {
		return marked("• " + point)
	}
	if words == "" || strings.ContainsAny(words[len(words)-1:], ".:") {
		return marked(words)
	}
	first, size := utf8.DecodeRuneInString(words)
	return marked(string(unicode.ToUpper(first)) + words[size:] + ".")
}

// marked are words with those between backquotes as code.
func marked(words string) template.HTML {
	parts := strings.Split(template.HTMLEscapeString(words), "`")
	out := parts[0]
	for i := 1; i < len(parts); i++ {
		switch {
		case i%2 == 0:
			out += "</code>" + parts[i]
		case i == len(parts)-1: // alone
			out += "`" + parts[i]
		default:
			out += "<code>" + parts[i]
		}
	}
	return template.HTML(out)
}

func caution() string { return report.Model }

// svgSwatch is a picture in the field picture's key, of one path.
func svgSwatch(path string) template.HTML {
	return template.HTML(`<svg viewBox="0 0 40 14" aria-hidden="true"><path ` + path + `/></svg>`)
}

// swatch is a line of that key.
func swatch(class string) template.HTML {
	return svgSwatch(`class="way ` + class + `" d="M3 7H37" style="stroke-opacity:1"`)
}

func crossSwatch() template.HTML {
	return svgSwatch(`d="M15 2L25 12M25 2L15 12" stroke="#ff9e7a" stroke-width="3" fill="none"`)
}
