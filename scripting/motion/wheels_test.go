package motion

import (
	"math"
	"testing"
)

// Too little voltage for speed and turn: the turn keeps what it needs and the speed gives way, within the battery.
func TestTurningComesFirstWhenVoltageIsShort(t *testing.T) {
	m := typical()
	m.battery = 7
	a, err := newAbility("test", m.Model(), Options{}, 12)
	if err != nil {
		t.Fatal(err)
	}
	var w wheels
	w.begin(&a, m)
	want := setpoint{speed: a.speed, turn: 1.5}
	m.left, m.right, m.vx, m.w = a.speed-1.5*m.track/2, a.speed+1.5*m.track/2, a.speed, 1.5
	w.drive(want, &reading{along: m.vx, turn: m.w, dt: tick})
	if math.Abs(m.uRight-7) > 1e-9 {
		t.Errorf("right train at %.2f V, want all of the 7 V", m.uRight)
	}
	if half, need := (m.uRight-m.uLeft)/2, a.TurnKS+a.TurnKV*1.5; math.Abs(half-need) > 1e-9 {
		t.Errorf("turns with %.3f V, want %.3f V", half, need)
	}
}

// The feedforward alone gives a steady state: V = kS + kV v at both trains.
func TestWheelsHoldASteadySpeedByFeedforward(t *testing.T) {
	m := typical()
	a, _ := newAbility("test", m.Model(), Options{}, 12)
	var w wheels
	w.begin(&a, m)
	m.left, m.right = 0.5, 0.5
	w.drive(setpoint{speed: 0.5}, &reading{along: 0.5, dt: tick})
	if want := a.KS + a.KV*0.5; math.Abs(m.uLeft-want) > 1e-9 || math.Abs(m.uRight-want) > 1e-9 {
		t.Errorf("%.3f V, %.3f V, want %.3f V", m.uLeft, m.uRight, want)
	}
}
