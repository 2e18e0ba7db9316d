package sandbox

import (
	"reflect"
	"runtime"
	"testing"

	lua "github.com/yuin/gopher-lua"
)

func TestTheLayoutOfGopherLuaIsKnown(t *testing.T) {
	if stateLayout.err != nil {
		t.Fatal(stateLayout.err)
	}
	if _, err := New(Setting{Limits: DefaultLimits()}); err != nil {
		t.Fatal(err)
	}
}

// A gopher-lua whose private parts have moved is refused.
func TestAnotherLayoutIsRefused(t *testing.T) {
	type moved struct {
		Metatable lua.LValue
		extra     int
		array     []lua.LValue
	}
	type renamed struct{ values []lua.LValue }
	type retyped struct{ Metatable string }
	theirs := reflect.TypeFor[lua.LTable]()
	for _, ours := range []reflect.Type{reflect.TypeFor[moved](), reflect.TypeFor[renamed](), reflect.TypeFor[retyped]()} {
		if sameLayout(theirs, ours) == nil {
			t.Errorf("%v passes for %v", ours, theirs)
		}
	}
	if err := sameLayout(theirs, reflect.TypeFor[table]()); err != nil {
		t.Error(err)
	}
}

// The count of steps depends on the text alone.
func TestStepsAreExact(t *testing.T) {
	text := `local t, s = {}, "" for i = 1, 100 do t[i] = {i} s = s .. i table.sort(t, function(a, b) return a[1] > ` +
		`b[1] end) end return s:find("9+8+")`
	want := run(t, text).box.used()
	for range 10 {
		if got := run(t, text).box.used(); got != want || want < 1000 {
			t.Fatalf("%d steps, then %d", want, got)
		}
	}
	// local x = 1; x = 1 is two LOADK, return is one more
	if got := run(t, "local x = 1; x = 2").box.used(); got != 3 {
		t.Errorf("three instructions count as %d", got)
	}
}

// Each tick has its own budget, and all together have one.
func TestBudgetsOfTicksAndOfTheWhole(t *testing.T) {
	limits := DefaultLimits()
	limits.Load, limits.Tick, limits.Total = 1000, 1000, 5000
	box, err := New(Setting{Limits: limits})
	if err != nil {
		t.Fatal(err)
	}
	loop := box.Function(compiled(t, `for i = 1, 800 do end`))
	ran := 0
	for range 10 {
		done := make(chan bool)
		go func() {
			ok := false
			defer func() { done <- ok }()
			box.Call(box.NewThread(), loop)
			ok = true
		}()
		if !<-done {
			break
		}
		ran++
		box.Refill()
	}
	broken := box.TakeBreak()
	if ran != 6 || broken == nil || broken.Message != "more than 5000 steps altogether" {
		t.Errorf("%d loops of 803 steps ran, then %v", ran, broken)
	}
}

// A function that outlives a thread that was ended keeps its values, and not the thread.
func TestFunctionsOutliveTheirThread(t *testing.T) {
	box, err := New(Setting{Limits: DefaultLimits()})
	if err != nil {
		t.Fatal(err)
	}
	box.Global("quit", box.State().NewFunction(func(L *lua.LState) int { Quit(L); return 0 }))
	thread := box.NewThread()
	done := make(chan struct{})
	go func() {
		defer close(done)
		box.Call(thread, box.Function(compiled(t, `local kept = 41; get = function() kept = kept + 1; return kept end; `+
			`pcall(quit); get = nil`)))
	}()
	<-done
	box.Drop(thread)
	freed := make(chan struct{})
	runtime.AddCleanup(thread, func(freed chan struct{}) { close(freed) }, freed)
	thread = nil
	after := make(chan lua.LValue, 1)
	go func() {
		v, _ := box.Call(box.NewThread(), box.Function(compiled(t, `return get()`)))
		after <- v
	}()
	if v := <-after; v != lua.LNumber(42) {
		t.Errorf("the function gives %v", v)
	}
	for range 100 {
		runtime.GC()
		select {
		case <-freed:
			return
		default:
			runtime.Gosched()
		}
	}
	t.Error("the thread is still held")
}

// Many boxes may run one source at once.
func TestASourceIsShared(t *testing.T) {
	source := compiled(t, `local t = {} for i = 1, 1000 do t[#t + 1] = i * 2 end local s = 0 for _, v in ipairs(t) do `+
		`s = s + v end return s`)
	results := make(chan lua.LValue)
	for range 20 {
		go func() {
			box, err := New(Setting{Limits: DefaultLimits()})
			if err != nil {
				results <- nil
				return
			}
			v, _ := box.Call(box.NewThread(), box.Function(source))
			results <- v
		}()
	}
	for range 20 {
		if v := <-results; v != lua.LNumber(1001000) {
			t.Errorf("got %v", v)
		}
	}
}

func BenchmarkSteps(b *testing.B) {
	limits := DefaultLimits()
	limits.Load = 100_000_000
	source := compiled(b, `local sum, t = 0, {} for i = 1, 20000 do sum = sum + i * 0.5; t[i % 100 + 1] = sum; if sum `+
		`< 0 then sum = 0 end end`)
	steps := int64(0)
	for b.Loop() {
		steps += runSource(b, source, limits).box.used()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(steps), "ns/step")
}

// BenchmarkWithoutBudget is the same in plain gopher-lua: what counting costs.
func BenchmarkWithoutBudget(b *testing.B) {
	text := `local sum, t = 0, {} for i = 1, 20000 do sum = sum + i * 0.5; t[i % 100 + 1] = sum; if sum < 0 then sum = ` +
		`0 end end`
	L := lua.NewState()
	defer L.Close()
	fn, err := L.LoadString(text)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		L.Push(fn)
		L.Call(0, 0)
	}
}
