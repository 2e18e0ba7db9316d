// The demo on Core Haul in C++: what core_haul_demo.lua does. Build and rehearse it:
//
//   g++ -std=c++17 -O2 -o demo demo.cpp
//   chalkfield run --program ./demo
#include "chalkfield.hpp"

using chalkfield::Bot;

// Two cores at once: the claw's and the conveyor's. The robot stands with its back to the rack.
void rack_pair(Bot& bot) {
  bot["lift"].await("reach", "rack", 2);
  double before = bot["conveyor"].number("count");
  bot["conveyor"].tell("run", 9);
  bot["claw"].tell("place");
  bot.until([&] { return bot["conveyor"].number("count") < before && !bot["claw"].is("moving"); }, 1);
  bot["conveyor"].tell("hold");
}

void autonomous(Bot& bot) {
  // The first core of the row by the claw, which is at the robot's back.
  bot["claw"].tell("out");
  bot.drive.ahead(-60, {{"speed", 400}});
  bot["claw"].tell("grab");
  bot.wait(0.12);  // the jaws need their time
  if (!bot["claw"].is("holding")) bot.note("no core in the claw");
  bot["lift"].tell("to", "carry");

  // The second by the intake, behind the one loaded before the start. The conveyor keeps both.
  bot["intake"].tell("run", 11);
  bot["conveyor"].tell("hold");
  bot.drive.face(0);
  bot.drive.ahead(200, {{"speed", 800}});

  // A pair onto the low rack, with the robot's back to the wall.
  bot.drive.visit(1562, 560);
  bot["intake"].tell("stop");
  bot.drive.face(90);
  bot["lift"].tell("to", "rack");
  bot.drive.ahead(-260, {{"speed", 600}});
  rack_pair(bot);

  // The near sled, backwards onto its end.
  bot["lift"].tell("to", "floor");
  bot["claw"].tell("back");
  bot.drive.visit(600, 1000, {{"reverse", true}});
  bot.drive.face(-90);
  bot.drive.ahead(-165, {{"speed", 400}});
  bot["clamp"].tell("shut");
  bot.wait(0.2);
  if (!bot["clamp"].is("holding")) bot.note("no sled in the clamp");

  // With the sled in tow every core that comes in goes through.
  bot["intake"].tell("run", 11);
  bot["conveyor"].tell("run", 10);
  bot.drive.visit(1210, 980);
  bot.drive.face(90);
  bot.drive.ahead(420, {{"speed", 400}});

  // Home.
  bot.drive.face(-135);
  bot.drive.dock(300, 470, -90, {{"speed", bot.param("haul_speed")}, {"accel", 1500}, {"within", 25}});
  bot["intake"].tell("stop");
  bot["conveyor"].tell("stop");
  char text[32];
  std::snprintf(text, sizeof text, "home at %.1f s", bot.clock());
  bot.note(text);
}

// Left stick to drive, right stick to turn; a puts a pair onto the rack, b takes the sled behind or lets it go.
void driver(Bot& bot) {
  for (;;) {
    if (bot.pressed("a")) rack_pair(bot);
    if (bot.pressed("b")) bot["clamp"].tell(bot["clamp"].is("is_shut") ? "open" : "shut");
    bot.drive.arcade(bot.stick("left_y"), bot.stick("right_x"));
    bot.wait();
  }
}

int main() {
  chalkfield::Program program;
  program.autonomous = autonomous;
  program.driver = driver;
  program.title = "a pair on the rack, a sled home";
  program.side = "ochre";
  program.start = {600, 450, 180};
  program.params = {{"haul_speed", 700, 200, 1200}};  // mm/s with a sled in tow
  return program.play();
}
