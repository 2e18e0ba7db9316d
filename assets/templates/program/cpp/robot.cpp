// A first program for the Core Haul field. Lengths are in millimetres, angles in degrees counter-clockwise from +x,
// times in seconds, motors in volts. Build it and run it:
//
//   g++ -std=c++17 -O2 -o robot robot.cpp
//   chalkfield run --program ./robot
#include "chalkfield.hpp"

void autonomous(chalkfield::Bot& bot) {
  bot["intake"].tell("run", 11);  // the rollers turn while the robot drives
  bot["conveyor"].tell("hold");   // keep what comes in, to place it later

  auto result = bot.drive.ahead(600, {{"speed", 700}});  // waits until the robot is there
  if (!result.ok) bot.note("stopped: " + result.why);

  bot.drive.face(0);                          // look along +x
  bot.drive.trace({{900, 1100}, {1200, 900}});  // a smooth curve through points
  bot.wait(0.3);
  bot.note("done at " + std::to_string(bot.clock()) + " s");
}

int main() {
  chalkfield::Program program;
  program.autonomous = autonomous;
  program.title = "first steps";
  program.start = {600, 450, 90};
  return program.play();
}
