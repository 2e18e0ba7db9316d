package rehearse

import "testing"

// Pieces that the demo's robot has pushed against one another stand still after it, and must cost nothing from then on:
// in every world that the demo leaves behind, a piece that has not moved for a second sleeps.
func TestWhatTheRobotLeftStandingSleeps(t *testing.T) {
	for seed := range uint64(6) {
		s := demo(t)
		s.Seed, s.Sparse = seed+1, true
		r, err := New(s)
		if err != nil {
			t.Fatal(err)
		}
		pieces := r.world.Bodies()[:len(s.Field.Pieces)]
		moved := make([]float64, len(pieces)) // s: when last
		for r.Tick() {
			for i, b := range pieces {
				if vx, vy, turn := b.Velocity(); vx*vx+vy*vy+turn*turn > 1e-6 {
					moved[i] = r.Now()
				}
			}
		}
		for i, b := range pieces {
			if b.Holder == 0 && !b.Asleep() && moved[i] < r.Now()-1 {
				t.Errorf("seed %d: %s has stood since %.2f s and is awake", s.Seed, b.Name, moved[i])
			}
		}
		r.Close()
	}
}
