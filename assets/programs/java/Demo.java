/**
 * The demo on Core Haul in Java: what core_haul_demo.lua does. Build and rehearse it:
 *
 * <pre>
 *   javac -d build Chalkfield.java Demo.java
 *   chalkfield run --program "java -cp build Demo"
 * </pre>
 */
public final class Demo {
  private Demo() {}

  /** Two cores at once: the claw's and the conveyor's. The robot stands with its back to the rack. */
  static void rackPair(Chalkfield.Bot bot) {
    bot.part("lift").await("reach", "rack", 2);
    double before = bot.part("conveyor").number("count");
    bot.part("conveyor").tell("run", 9);
    bot.part("claw").tell("place");
    bot.until(() -> bot.part("conveyor").number("count") < before && !bot.part("claw").is("moving"), 1);
    bot.part("conveyor").tell("hold");
  }

  static void auto(Chalkfield.Bot bot) {
    // The first core of the row by the claw, which is at the robot's back.
    bot.part("claw").tell("out");
    bot.drive.ahead(-60, "speed", 400);
    bot.part("claw").tell("grab");
    bot.pause(0.12); // the jaws need their time
    if (!bot.part("claw").is("holding")) {
      bot.note("no core in the claw");
    }
    bot.part("lift").tell("to", "carry");

    // The second by the intake, behind the one loaded before the start. The conveyor keeps both.
    bot.part("intake").tell("run", 11);
    bot.part("conveyor").tell("hold");
    bot.drive.face(0);
    bot.drive.ahead(200, "speed", 800);

    // A pair onto the low rack, with the robot's back to the wall.
    bot.drive.visit(1562, 560);
    bot.part("intake").tell("stop");
    bot.drive.face(90);
    bot.part("lift").tell("to", "rack");
    bot.drive.ahead(-260, "speed", 600);
    rackPair(bot);

    // The near sled, backwards onto its end.
    bot.part("lift").tell("to", "floor");
    bot.part("claw").tell("back");
    bot.drive.visit(600, 1000, "reverse", true);
    bot.drive.face(-90);
    bot.drive.ahead(-165, "speed", 400);
    bot.part("clamp").tell("shut");
    bot.pause(0.2);
    if (!bot.part("clamp").is("holding")) {
      bot.note("no sled in the clamp");
    }

    // With the sled in tow every core that comes in goes through.
    bot.part("intake").tell("run", 11);
    bot.part("conveyor").tell("run", 10);
    bot.drive.visit(1210, 980);
    bot.drive.face(90);
    bot.drive.ahead(420, "speed", 400);

    // Home.
    bot.drive.face(-135);
    bot.drive.dock(300, 470, -90, "speed", bot.param("haul_speed"), "accel", 1500, "within", 25);
    bot.part("intake").tell("stop");
    bot.part("conveyor").tell("stop");
    bot.note(String.format(java.util.Locale.ROOT, "home at %.1f s", bot.clock()));
  }

  /** Left stick to drive, right stick to turn; a puts a pair onto the rack, b takes the sled behind or lets it go. */
  static void driver(Chalkfield.Bot bot) {
    while (true) {
      if (bot.pressed("a")) {
        rackPair(bot);
      }
      if (bot.pressed("b")) {
        bot.part("clamp").tell(bot.part("clamp").is("is_shut") ? "open" : "shut");
      }
      bot.drive.arcade(bot.stick("left_y"), bot.stick("right_x"));
      bot.pause(0);
    }
  }

  public static void main(String[] args) {
    new Chalkfield().auto(Demo::auto).driver(Demo::driver).title("a pair on the rack, a sled home").side("ochre")
        .start(600, 450, 180).param("haul_speed", 700, 200, 1200) // mm/s with a sled in tow
        .play();
  }
}
