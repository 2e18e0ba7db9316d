package scripting

import "testing"

// busyRoutine is what a full routine does: motions, two tasks that ask sensors every tick, and a control loop.
const busyRoutine = `
    task(function()
      while true do await(function() return bot.sense.chute:sees() and bot.sense.front:mm() < 10 end, 1) end
    end)
    task(function()
      local c = pid{p = 8, i = 1, d = 0.2, low = -12, high = 12}
      while true do
        local p = bot.where()
        bot.mast:volts(c:update(300, bot.sense.mast_height:read() + p.x * 0))
        wait()
      end
    end)
    while true do
      bot.drive:ahead(800)
      bot.drive:face(180)
      bot.drive:ahead(800)
      bot.drive:face(0)
    end`

// BenchmarkTick is one control tick of a busy routine, the drive motion included.
func BenchmarkTick(b *testing.B) {
	s := stageOf(b, load(b, auto(busyRoutine)), Env{})
	s.Begin(Auto)
	for b.Loop() {
		s.once()
		s.events = s.events[:0]
		s.counts = counts{}
	}
	if f := s.failure(); f != "" {
		b.Fatal(f)
	}
}

// BenchmarkNewHost is what each rehearsal pays for a fresh Lua world.
func BenchmarkNewHost(b *testing.B) {
	p := load(b, auto(busyRoutine))
	for b.Loop() {
		h, err := p.NewHost(newFake(), Env{})
		if err != nil {
			b.Fatal(err)
		}
		h.Close()
	}
}

// BenchmarkLua is the price of 30,000 instructions of arithmetic and table work under the budget.
func BenchmarkLua(b *testing.B) {
	s := stageOf(b, load(b, auto(`
    local t = {}
    while true do
      local sum = 0
      for i = 1, 2500 do sum = sum + i * 0.5; t[i % 100 + 1] = sum; if sum < 0 then sum = 0 end end
      wait()
    end`)), Env{})
	s.Begin(Auto)
	for b.Loop() {
		s.once()
	}
}
