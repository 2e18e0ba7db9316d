// Follows a table of setpoints, in C++17 or later: one header; fixed memory, nothing allocated, no exceptions.
//
//   #include "plan.h"      // chalkfield run mine.lua --nominal --setpoints plan.h
//   #include "follower.hpp"
//
//   follower::Follower f(plan);
//   while (!f.done()) {                                   // every 10 or 20 ms
//     auto volts = f.step(time, x, y, heading);           // s, mm, mm, degrees counter-clockwise: your odometry
//     ...                                                 // give volts.left and volts.right to the two sides
//     while (const setpoint_command* c = f.due()) ...     // tell your mechanisms: c->what is "intake.run"
//   }
//
// On the real robot: first with the wheels off the floor, then at low speed with the field clear, a person at the
// disable switch. Set f.hold = true to let the plan wait, as where the routine waited for a sensor: f.row().waits is
// not 0.
//
// The law is the one that the rehearsal used. Where to go: Kanayama, Kimura, Miyazaki & Noguchi, A stable tracking
// control method for an autonomous mobile robot, ICRA 1990, with its gains scheduled over the speed. The plan's time
// waits for a robot that is behind it: Dahl & Nielsen, IEEE Trans. R&A 6(5), 1990. The volts: feed-forward, and PI on
// the speeds by lambda tuning (Astrom & Hagglund, Advanced PID Control, 2006, 6.4; from memory).
#pragma once

#ifndef CHALKFIELD_SETPOINTS
#error "include the table (plan.h) before follower.hpp"
#endif

#include <cmath>

namespace follower {

struct Volts {
  double left, right;
};

// Follower follows one plan once.
class Follower {
 public:
  explicit Follower(const setpoint_table& plan) : plan_(plan) { new_step(); }

  bool hold = false;  // the plan waits

  // Whether the plan has run out. Then give 0 V.
  bool done() const { return i_ == plan_.row_count - 1; }

  // The row that holds now.
  const setpoint_row& row() const { return plan_.rows[i_]; }

  // Takes the next command to a mechanism that is due; nullptr: none is.
  const setpoint_command* due() {
    if (command_ == plan_.command_count || plan_.commands[command_].row > i_) return nullptr;
    const setpoint_command* next = &plan_.commands[command_++];
    if (is_here(next->what)) moved_ = true;  // the odometry jumps: that is no speed
    return next;
  }

  // Volts at a time (s) at which the robot is at x, y (mm), heading (deg).
  Volts step(double time, double x, double y, double heading) {
    double dt = measure(time, x / 1000, y / 1000, heading * radian);
    advance(dt);
    if (row().mode == rest) {
      new_step();
      return {0, 0};
    }
    const Reference ref = reference();
    return volts(ref, lead(ref), dt);
  }

 private:
  enum Mode { rest, follow, turn };
  static constexpr double pi = 3.14159265358979323846, radian = pi / 180;

  struct Reference {  // the plan at its time; m, rad, V
    double x, y, heading, speed, turning, left, right;
    int mode;
  };
  struct Speeds {
    double along, turn;  // m/s, rad/s
  };
  struct Seen {
    double ahead, left;  // m
  };

  static double clamp(double x, double least, double most) { return std::fmax(least, std::fmin(most, x)); }
  // How fast the plan's time runs, 0 to 1, when the robot is so far behind.
  static double wait_for(double behind, double slack, double stop) { return clamp((stop - behind) / (stop - slack), 0, 1); }
  static double wrap(double angle) { return std::remainder(angle, 2 * pi); }
  // A point as seen from a place.
  static Seen seen(double x, double y, double from_x, double from_y, double heading) {
    double c = std::cos(heading), s = std::sin(heading);
    return {c * (x - from_x) + s * (y - from_y), c * (y - from_y) - s * (x - from_x)};
  }
  static bool is_here(const char* what) {
    const char* here = "here";
    while (*here && *what == *here) what++, here++;
    return *what == *here;
  }

  // Where the robot is and how fast.

  double measure(double time, double x, double y, double heading) {
    if (!begun_) {
      begun_ = true;
      time_ = time, x_ = x, y_ = y, heading_ = heading;
      return 0;
    }
    double dt = time - time_, turned = wrap(heading - heading_);
    if (dt > 0 && !moved_) {
      double middle = heading_ + turned / 2;
      speed_.along = ((x - x_) * std::cos(middle) + (y - y_) * std::sin(middle)) / dt;
      speed_.turn = turned / dt;
    }
    time_ = time, x_ = x, y_ = y, heading_ += turned;
    moved_ = false;
    return std::fmax(dt, 0);
  }

  // The plan's time.

  void new_step() {
    pace_ = 1, lost_ = waited_ = 0;
    sum_ = last_ = {0, 0};
    past_from_ = past_count_ = 0;
  }

  const setpoint_step& law() const { return plan_.steps[row().step]; }

  void advance(double dt) {
    if (hold || dt == 0) return;
    lost_ += dt * (1 - pace_);
    at_ += dt * pace_;
    while (!done() && at_ >= plan_.rows[i_ + 1].time - 1e-6) {
      const setpoint_row& after = plan_.rows[i_ + 1];
      if (after.step != row().step) {
        if (!arrived()) {
          waited_ += dt;
          at_ = after.time;
          return;
        }
        new_step();
      }
      i_++;
    }
  }

  // Whether the robot is where a motion ends, or has had its time to come there.
  bool arrived() const {
    const setpoint_row& end = row();
    const setpoint_step& of = law();
    if (of.within == 0 || end.speed != 0 || waited_ > 0.5) return true;
    if (end.mode == turn) return std::fabs(wrap(end.heading * radian - heading_)) <= of.within_angle;
    Seen gap = seen(end.x / 1000, end.y / 1000, x_, y_, heading_);
    return std::fabs(gap.ahead) <= of.within && std::fabs(gap.left) <= 3 * of.within;
  }

  Reference reference() const {
    const setpoint_row& a = row();
    const setpoint_row& b = done() ? a : plan_.rows[i_ + 1];
    double share = 0;
    if (b.step == a.step && b.mode == a.mode && b.time > a.time) share = clamp((at_ - a.time) / (b.time - a.time), 0, 1);
    auto between = [share](double from, double to) { return from + share * (to - from); };
    return {between(a.x, b.x) / 1000, between(a.y, b.y) / 1000, between(a.heading, b.heading) * radian,
            between(a.speed, b.speed) / 1000, between(a.turning, b.turning) * radian,
            between(a.left_volts, b.left_volts), between(a.right_volts, b.right_volts), a.mode};
  }

  // The tracking law: the speeds to have.

  Speeds lead(const Reference& ref) {
    const setpoint_step& k = law();
    double heading = heading_ + speed_.turn * k.delay;  // what is commanded now acts where the robot will be then
    double ahead = speed_.along * k.delay + k.pivot;
    double x = x_ + ahead * std::cos(heading), y = y_ + ahead * std::sin(heading);
    double off = wrap(ref.heading - heading);
    if (ref.mode == turn) {
      double behind = ref.turning > 0 ? off : ref.turning < 0 ? -off : 0;
      run(wait_for(behind, 0.10, 0.45));
      double w = ref.turning * pace_;
      w += k.heading_p * off + k.heading_d * (w - speed_.turn);
      return {ref.speed, clamp(w, -k.top_turn, k.top_turn)};
    }
    bool back = ref.speed < 0;
    Seen e = seen(ref.x + k.pivot * std::cos(ref.heading), ref.y + k.pivot * std::sin(ref.heading), x, y,
                  heading + (back ? pi : 0));
    double pace = std::fmin(wait_for(e.ahead, 0.02, 0.08), wait_for(std::fabs(off), 0.35, 1.0));
    run(ref.speed == 0 ? 1 : std::fmin(pace, std::fmax(0.3, wait_for(std::fabs(e.left), 0.12, 0.50))));
    double vr = std::fabs(ref.speed) * pace_, wr = ref.turning * pace_;
    // kth vr is the gain heading_p at every speed but the lowest, and the sideways error is damped by 0.7
    double kx = k.along_p, kth = k.heading_p / std::fmax(vr, k.slow), ky = (kth / 1.4) * (kth / 1.4);
    e.ahead = clamp(e.ahead, -k.catch_up / kx, k.catch_up / kx);
    e.left = clamp(e.left, -0.5 * kth / ky, 0.5 * kth / ky);
    double v = vr * std::cos(off) + kx * e.ahead;
    double w = wr + vr * (ky * e.left + kth * std::sin(off));
    w += (k.heading_p - kth * vr) * std::sin(off);  // what the law loses towards rest
    w += k.heading_d * (wr - speed_.turn);
    return {back ? -v : v, clamp(w, -k.top_turn, k.top_turn)};
  }

  // Sets how fast the plan's time runs. A motion may lose 1.5 s; then it goes on, whatever stands in its way.
  void run(double pace) { pace_ = lost_ < 1.5 ? pace : 1; }

  // The loop of the speeds: the volts.

  // What overcomes friction, V, along and in turning.
  Speeds friction(Speeds s) const {
    const setpoint_step& k = law();
    const double knee = 0.02;  // m/s
    double half = s.turn * k.track / 2;
    double left = k.friction_volts * clamp((s.along - half) / knee, -1, 1), right = k.friction_volts * clamp((s.along + half) / knee, -1, 1);
    return {(left + right) / 2, (right - left) / 2 + k.turn_friction_volts * clamp(half / knee, -1, 1)};
  }

  // The speeds that the motors are at by now, as late as they are.
  Speeds asked(Speeds s) {
    if (past_count_ == past_size) past_from_ = (past_from_ + 1) % past_size, past_count_--;
    past_[(past_from_ + past_count_++) % past_size] = {time_, s};
    while (past_count_ > 1 && past_[(past_from_ + 1) % past_size].time <= time_ - law().delay + 1e-9)
      past_from_ = (past_from_ + 1) % past_size, past_count_--;
    return past_[past_from_].speeds;
  }

  Volts volts(const Reference& ref, Speeds want, double dt) {
    const setpoint_step& k = law();
    Speeds then = asked(want);
    double error = then.along - speed_.along, turn_error = then.turn - speed_.turn;
    if (want.along * last_.along < 0) sum_.along = 0;  // what it had learnt of friction acts the other way now
    if (want.turn * last_.turn < 0) sum_.turn = 0;
    last_ = want;

    // feed-forward: the table's, moved to the speeds that the law asks for
    Speeds own = friction(want), planned = friction({ref.speed, ref.turning});
    double more = (ref.left + ref.right) / 2 - planned.along - k.speed_volts * ref.speed;
    double turn_more = (ref.right - ref.left) / 2 - planned.turn - k.turn_speed_volts * ref.turning;
    double along = own.along + k.speed_volts * want.along + pace_ * more;
    double turn = own.turn + k.turn_speed_volts * want.turn + pace_ * turn_more;

    along += k.acceleration_volts / k.lag * error + sum_.along;
    turn += k.turn_acceleration_volts / k.lag * turn_error + sum_.turn;
    if (k.push > 0 && k.acceleration_volts > 0) {  // what the robot bears without tipping
      double asked_for = pace_ * more / k.acceleration_volts + error / k.lag;
      along -= k.acceleration_volts * (asked_for - clamp(asked_for, -k.brake, k.push));
    }

    double turn_cut = clamp(turn, -k.volts, k.volts);  // too little for both: turning comes first
    double spare = k.volts - std::fabs(turn_cut), along_cut = clamp(along, -spare, spare);
    if ((along - along_cut) * error <= 0) sum_.along += k.speed_volts / k.lag * error * dt;
    if ((turn - turn_cut) * turn_error <= 0) sum_.turn += k.turn_speed_volts / k.lag * turn_error * dt;
    return {audible(along_cut - turn_cut), audible(along_cut + turn_cut)};
  }

  // Rounds what lies within the motor controller's dead band to what it gives.
  double audible(double volts) const {
    double band = law().band;
    if (std::fabs(volts) >= band) return volts;
    return std::fabs(volts) < band / 2 ? 0 : std::copysign(band, volts);
  }

  const setpoint_table& plan_;
  int i_ = 0, command_ = 0;  // the row that holds, the next command
  double at_ = 0;            // s, the plan's own time
  bool begun_ = false, moved_ = false;
  double time_ = 0, x_ = 0, y_ = 0, heading_ = 0;  // as last measured, m, rad
  Speeds speed_{0, 0};
  double pace_ = 1, lost_ = 0, waited_ = 0;  // of this step, s
  Speeds sum_{0, 0}, last_{0, 0};            // V: integrals; m/s and rad/s: what was asked for last
  static constexpr int past_size = 64;
  struct {
    double time;
    Speeds speeds;
  } past_[past_size] = {};
  int past_from_ = 0, past_count_ = 0;
};

}  // namespace follower
