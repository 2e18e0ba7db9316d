package sandbox

import (
	"runtime"
	"testing"

	lua "github.com/yuin/gopher-lua"
)

// The heap estimates against Go's heap, for the shapes that fill memory. The heap may be at most half as much again
// as estimated (so that the cap holds), and at least a sixth (so that the cap is not felt long before).
func TestEstimatesAreNearTheHeap(t *testing.T) {
	for name, text := range map[string]string{
		"numbers":       `local t = {} for i = 1, 200000 do t[i] = i * 0.5 end return t`,
		"small tables":  `local t = {} for i = 1, 20000 do t[i] = {} end return t`,
		"points":        `local t = {} for i = 1, 10000 do t[i] = {x = i, y = i} end return t`,
		"pairs":         `local t = {} for i = 1, 20000 do t[i] = {i, i} end return t`,
		"grown tables":  `local t = {} for i = 1, 3000 do local p = {} p.x = i t[i] = p end return t`,
		"keys":          `local t = {} for i = 1, 50000 do t["key" .. i] = i end return t`,
		"removed keys":  `local t = {} for i = 1, 50000 do t["key" .. i] = i t["key" .. i] = nil end return t`,
		"float keys":    `local t = {} for i = 1, 50000 do t[i + 0.5] = i end return t`,
		"strings":       `local t = {} for i = 1, 100 do t[i] = ("x"):rep(20000) .. i end return t`,
		"short strings": `local t = {} for i = 1, 50000 do t[i] = "s" .. i end return t`,
		"parts":         `local t = {} for i = 1, 100 do t[i] = (("x"):rep(50000) .. i):sub(1, 30000) end return t`,
		"closures":      `local t = {} for i = 1, 20000 do local x = i t[i] = function() return x end end return t`,
		"chain":         `local t = {} for i = 1, 20000 do t = {t} end return t`,
		"sparse":        `local t = {} t[200000] = 1 return t`,
		"sorted":        `local t = {} for i = 1, 50000 do t[i] = -i end table.sort(t) return t`,
	} {
		t.Run(name, func(t *testing.T) {
			limits := DefaultLimits()
			limits.Load, limits.Memory = 50_000_000, 1<<30
			before := heap()
			out := runSource(t, compiled(t, text), limits)
			if out.failure != nil {
				t.Fatal(out.failure)
			}
			real := float64(heap() - before)
			out.box.Keep(holder{out.result})
			estimate, _ := out.box.estimateHeap()
			if ratio := real / float64(estimate); ratio > 1.5 || ratio < 1.0/6 {
				t.Errorf("%.1f MB on the heap, estimated %.1f MB: %.2f", real/1e6, float64(estimate)/1e6, ratio)
			}
			runtime.KeepAlive(out)
		})
	}
}

type holder []lua.LValue

func (h holder) Held() []lua.LValue { return h }

func heap() int64 {
	runtime.GC()
	runtime.GC() // the second frees what finalizers kept
	var stats runtime.MemStats
	runtime.ReadMemStats(&stats)
	return int64(stats.HeapAlloc)
}

// What is charged as it is built is no less than what the estimate finds: the cap cannot be passed between two.
func TestChargesCoverTheCensus(t *testing.T) {
	for name, text := range map[string]string{
		"numbers":  `local t = {} for i = 1, 50000 do t[i] = i * 0.5 end return t`,
		"points":   `local t = {} for i = 1, 5000 do t[i] = {x = i, y = i} end return t`,
		"grown":    `local t = {} for i = 1, 3000 do local p = {} p.x = i t[i] = p end return t`,
		"keys":     `local t = {} for i = 1, 20000 do t["key" .. i] = i end return t`,
		"strings":  `local t = {} for i = 1, 100 do t[i] = ("x"):rep(20000) .. i end return t`,
		"closures": `local t = {} for i = 1, 20000 do local x = i t[i] = function() return x end end return t`,
		"unpacked": `local t = {} for i = 1, 20 do t[i] = {unpack({}, 1, 5000)} end return t`,
		"inserted": `local t = {} for i = 1, 20000 do table.insert(t, i) end return t`,
		"matches":  `local t = {} for w in ("abcdefgh "):rep(10000):gmatch("%a+") do t[#t + 1] = w end return t`,
	} {
		t.Run(name, func(t *testing.T) {
			limits := DefaultLimits()
			limits.Load, limits.Memory = 50_000_000, 1<<30
			out := runSource(t, compiled(t, text), limits)
			if out.failure != nil {
				t.Fatal(out.failure)
			}
			base, _ := runSource(t, compiled(t, `return 1`), limits).box.estimateHeap()
			out.box.Keep(holder{out.result})
			found, _ := out.box.estimateHeap()
			if charged := out.box.meter.charged; charged < found-base {
				t.Errorf("charged %d, the estimate finds %d", charged, found-base)
			}
		})
	}
}
