package webpage

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

//go:embed replay.html
var replayText string

//go:embed replay.js
var replayScript string

var replayTemplate = template.Must(template.Must(pageTemplate.Clone()).New("replay").Parse(replayText))

// ReplayMadeBy stands at the beginning of every replay.
const ReplayMadeBy = `name="generator" content="Chalkfield replay"`

// replayPage is what a replay's page shows.
type replayPage struct {
	Title, Subtitle string
	Width, Height   string // of the field's picture
	Theme           replayTheme
	Ground          template.HTML // what of the field never moves
	Layers          []replayLayer // over it
	Data            replayData
	Script          template.JS
	Source          string   // name of the routine
	Lines           []string // its text
	Events          []replayEvent
	Sheet           *report.Section
	Key             []keyRow
}

// replayLayer is a group of the picture, empty but for what is there from the beginning.
type replayLayer struct {
	Name string
	SVG  template.HTML
}

// replayEvent is a row of the list of events.
type replayEvent struct {
	Time, Words string
	Mark        template.HTML
}

// replayData is what the page's script plays. Lists with a step hold, each time, how many samples have passed since the
// entry before and what is so from then on.
type replayData struct {
	Period  float64       `json:"period"` // s from one sample to the next
	Samples int           `json:"samples"`
	Scores  []string      `json:"scores"`
	Score   []int         `json:"score"` // step, place in Scores
	Phases  []string      `json:"phases"`
	Phase   []int         `json:"phase"`   // step, place in Phases
	Lines   [][]int       `json:"lines"`   // step, then the lines at which tasks stand
	Trail   []int         `json:"trail"`   // sample from which each stretch of the ways is behind a robot
	Events  []int         `json:"events"`  // sample of each row of the list
	Marks   []int         `json:"marks"`   // sample of each mark on the field
	Sprites []string      `json:"sprites"` // SVG, each about its own origin
	Looks   [][]int       `json:"looks"`   // sprites that make a thing
	Things  []replayThing `json:"things"`
}

// replayThing moves on the field.
type replayThing struct {
	Layer string `json:"layer"`
	Look  []int  `json:"look"` // step, place in Looks
	At    []int  `json:"at"`   // step, then by how much x, y (hundredths of a pixel) and turn (tenths of a degree) change
}

// replayWidth is the width of the field's picture in everyday pixels: a phone shows it a little smaller, a desk larger.
const replayWidth = 480

const (
	replayGround = scene.Floor | scene.Zones | scene.Lines | scene.Walls
	replayMoving = scene.Goals | scene.Pieces | scene.Plan | scene.Robots | scene.Belief | scene.ScoreBox
	replayEvents = scene.Contacts | scene.Events
)

// WriteReplay writes a page that plays a run in a browser, by itself: in holds field, record and mounts. In the slate's
// theme what stands around the field is as dark or light as the reader likes it.
func WriteReplay(w io.Writer, in scene.Input, theme paint.Theme) error {
	rec := in.Record
	if len(rec.Samples) == 0 {
		return fmt.Errorf("nothing was recorded: there is nothing to replay")
	}
	in.Index, in.Log = record.NewIndex(rec), nil
	in.Options = scene.Options{Show: replayGround}
	ground := scene.Build(in)
	view, height := fitted(ground, replayWidth)
	p := &replayPage{Title: ground.Furniture.Title, Subtitle: ground.Furniture.Subtitle,
		Width: picture.Short(replayWidth), Height: picture.Short(height), Script: template.JS(replayScript)}
	p.Theme = replayTheme{theme}
	p.Ground = paintedSVG(theme, func(to paint.Painter) { new(paint.Drawer).Draw(to, ground, view) })
	film := newReplayFilm(in, view, theme)
	for _, layer := range replayLayers {
		film.addLayer(p, layer)
	}
	p.Events = film.events()
	in.Options = scene.Options{Show: replayMoving | replayEvents | scene.Trail | scene.Legend}
	for _, row := range scene.Build(in).Furniture.Legend {
		p.Key = append(p.Key, keyRow{Swatch: legendSwatch(row, theme), Words: row.Words})
	}
	for i := range rec.Samples {
		film.sample(i)
	}
	p.Data = film.data
	p.tell(in.Units, rec)
	return replayTemplate.Execute(w, p)
}

// tell adds the routine's text and the score sheet.
func (p *replayPage) tell(in units.System, rec *record.Record) {
	if robots := rec.Header.Robots; len(robots) > 0 {
		if text := rec.Text(robots[0].Routine); text != "" {
			p.Source = robots[0].Routine.Name
			p.Lines = strings.Split(strings.TrimRight(strings.ReplaceAll(text, "\r\n", "\n"), "\n"), "\n")
		}
	}
	if len(rec.Sheet.Sides) > 0 {
		sheet := report.ScoreSheet(in, rec)
		p.Sheet = &sheet
	}
}

// replayTheme gives a replay's style sheet the theme's colours.
type replayTheme struct{ paint.Theme }

// Show is what the theme shows for a colour "#rrggbb".
func (t replayTheme) Show(colour string) template.CSS {
	c := t.Tone(scene.ParseColour(colour, scene.Chalk))
	return template.CSS(fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B))
}

// paintedSVG is what a drawing puts down as elements of an SVG picture. Its words are escaped where they are written.
func paintedSVG(theme paint.Theme, draw func(paint.Painter)) template.HTML {
	out := &picture.SVG{}
	draw(theme.On(out))
	return template.HTML(out.String())
}
