// The simulated robot follows a table of setpoints called plan.h, whose array is plan; of another name write that into
// the include and wherever plan stands. Build and rehearse it:
//
//   chalkfield run mine.lua --nominal --setpoints plan.h
//   g++ -std=c++17 -O2 -o follow follow.cpp
//   chalkfield run --program ./follow
#include "plan.h"

#include "chalkfield.hpp"
#include "follower.hpp"

// Gives a command of the table to the robot: "intake.run" with 11.
void tell(chalkfield::Bot& bot, const setpoint_command& c) {
  std::string what = c.what, part = what.substr(0, what.find('.')), call = what.substr(what.find('.') + 1);
  if (what == "here") return bot.here({c.number[0], c.number[1], c.number[2]});
  chalkfield::Part& of = part == "drive" ? bot.drive : bot[part];
  if (*c.word) return of.tell(call, std::string(c.word));
  if (c.numbers == 1) return of.tell(call, double(c.number[0]));
  of.tell(call);
}

void autonomous(chalkfield::Bot& bot) {
  follower::Follower f(plan);
  double begin = bot.clock();
  while (!f.done()) {
    auto at = bot.where();
    auto volts = f.step(bot.clock() - begin, at.x, at.y, at.heading);
    bot.drive.volts(volts.left, volts.right);
    while (const setpoint_command* c = f.due()) tell(bot, *c);
    bot.wait();
  }
  bot.drive.stop();
}

int main() {
  chalkfield::Program program;
  program.autonomous = autonomous;
  program.title = "follows a plan";
  program.side = plan.side;
  program.start = {plan.start[0], plan.start[1], plan.start[2]};
  return program.play();
}
