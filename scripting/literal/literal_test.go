package literal

import (
	"io/fs"
	"maps"
	"math"
	"path"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/yuin/gopher-lua/ast"
	"pgregory.net/rapid"

	"chalkfield/assets"
	"chalkfield/internal/base/property"
	"chalkfield/scripting/sandbox"
)

// routines are the embedded ones, by file.
func routines(t *testing.T) map[string]string {
	t.Helper()
	texts := map[string]string{}
	err := fs.WalkDir(assets.Routines, ".", func(file string, _ fs.DirEntry, err error) error {
		if path.Ext(file) == ".lua" {
			text, err := fs.ReadFile(assets.Routines, file)
			texts[file] = string(text)
			return err
		}
		return err
	})
	if err != nil || len(texts) < 5 {
		t.Fatal(len(texts), err)
	}
	return texts
}

// parsed are the numbers that the Lua parser reads, in the order of the text, without their signs.
func parsed(t *testing.T, text string) []string {
	t.Helper()
	chunk, err := sandbox.Parse("it.lua", text)
	if err != nil {
		t.Fatalf("%v:\n%s", err, text)
	}
	var list []string
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Interface, reflect.Pointer:
			if v.IsNil() {
				return
			}
			if n, is := v.Interface().(*ast.NumberExpr); is {
				list = append(list, n.Value)
				return
			}
			walk(v.Elem())
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Struct:
			for i := range v.NumField() {
				if v.Type().Field(i).IsExported() {
					walk(v.Field(i))
				}
			}
		}
	}
	walk(reflect.ValueOf(chunk))
	return list
}

// The numbers found are those that the Lua parser finds.
func TestNumbersAreThoseOfTheParser(t *testing.T) {
	texts := routines(t)
	texts["odd"] = "local a, b = 1-2, -3 --[[ 4 ]]\n" +
		"local c = {[5] = '6', \"7\", [==[8 ]] ]==], 0x1F, 1e3, .5, 3., a-1}\n" +
		"local x = b -1 -- 9\nlocal x2, y = 2e-3, #'10'\nreturn-1"
	for file, text := range texts {
		count := map[float64]int{}
		for _, n := range Numbers(text) {
			count[math.Abs(n.Value())]++
		}
		for _, value := range parsed(t, text) {
			x, err := strconv.ParseFloat(value, 64)
			if strings.HasPrefix(value, "0x") {
				whole, wrong := strconv.ParseInt(value[2:], 16, 64)
				x, err = float64(whole), wrong
			}
			if count[x]--; err != nil || count[x] < 0 {
				t.Errorf("%s: the parser has %s (%v) once more", file, value, err)
			}
		}
		for x, left := range count {
			if left != 0 {
				t.Errorf("%s: %g is no number of the parser's, %d times", file, x, left)
			}
		}
	}
}

func TestStepsAreOfTheLastDigitAndKeepTheForm(t *testing.T) {
	for _, c := range []struct {
		text string
		by   int
		want string
	}{
		{"f(1562)", 10, "1572"}, {"f(0.12)", 1, "0.13"}, {"f(0.12)", -13, "-0.01"}, {"f(1.50)", 51, "2.01"},
		{"f(.5)", 6, "1.1"}, {"f(.5)", -1, ".4"}, {"f(3.)", 1, "4."}, {"f(1e3)", 2, "3e3"}, {"f(0x1F)", 1, "0x20"},
		{"f(0xff)", -1, "0xfe"}, {"f(-60)", 70, "10"}, {"f(-60)", -1, "-61"}, {"f(99)", 1, "100"}, {"f(-0.05)", 5, "0.00"},
		{"x = a - 5", -9, "0"}, {"x = a-5", -9, "0"}, {"x = 'a' .. 5", -9, "0"}, {"x = -5 + a", 9, "4"},
		{"x = a * -5", 9, "4"}, {"return-5", 9, "-1"}, {"f(007)", 1, "008"},
		{"f{speed = 400}", -999, "1"}, {"f{speed = 0.5}", -9, "0.1"}, {"f{speed = a - 4}", -9, "0"}, {"wait(0.2)", -9, "0.0"},
		{"param('a', 700, 200, 1200)", 9999, "1200"}, {"param('a', 0.3, 0.1, 1.2)", 99, "1.2"},
		{"param('a', 0.3, 0.1, 1.2)", -99, "0.1"}, {"param('a', 1500, 200, 1200)", 1, "1500"},
		{"param('a', 1500, 200, 1200)", -1, "1499"}, {"param('a', 100, 2 * inch, 10 * inch)", 50, "150"},
	} {
		if got := Numbers(c.text)[0].Step(c.by).Text; got != c.want {
			t.Errorf("%s by %d: %s, want %s", c.text, c.by, got, c.want)
		}
	}
	bounds := Numbers("param('a', 700, 200, 1200)")
	if low, high := bounds[1].Step(9999).Text, bounds[2].Step(-9999).Text; low != "700" || high != "700" {
		t.Errorf("the least goes up to %s, the greatest down to %s", low, high)
	}
	if Numbers("x = 12345678901234567890")[0].Turns() {
		t.Error("a number that no float holds is turned")
	}
}

func TestTyped(t *testing.T) {
	n := Numbers("f{speed = 400}")[0]
	for _, typed := range []string{"", "-", "1.2.3", "12 13", "x", "1e", "--5", "1e999", "-5", "0"} {
		if got, err := n.Typed(typed); err == nil {
			t.Errorf("%q becomes %s", typed, got.Text)
		}
	}
	for _, typed := range []string{"512.5", "0.5e3", ".5e3", "0x200"} {
		if got, err := n.Typed(typed); err != nil || got.Text != typed {
			t.Error(typed, got.Text, err)
		}
	}
}

// Whatever step any number of any embedded routine takes, the text around it is the same program: as many numbers, and
// all others as they were.
func TestAStepChangesOneNumberOfTheProgram(t *testing.T) {
	texts := routines(t)
	files := slices.Sorted(maps.Keys(texts))
	property.Check(t, func(r *rapid.T) {
		text := texts[rapid.SampledFrom(files).Draw(r, "file")]
		list := Numbers(text)
		at := rapid.IntRange(0, len(list)-1).Draw(r, "number")
		n := list[at].Step(rapid.IntRange(-3000, 3000).Draw(r, "steps"))
		changed := text[:n.From] + n.Text + text[n.To:]
		now := Numbers(changed)
		if len(now) != len(list) || now[at].Text != n.Text {
			r.Fatalf("%d numbers, want %d; it is %s, want %s", len(now), len(list), now[at].Text, n.Text)
		}
		if _, err := sandbox.Compile("it.lua", changed); err != nil {
			r.Fatal(err)
		}
		for i := range list {
			if i != at && now[i].Text != list[i].Text {
				r.Fatalf("number %d was %s, is %s", i, list[i].Text, now[i].Text)
			}
		}
	})
}
