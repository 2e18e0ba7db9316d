/**
 * A first program for the Core Haul field. Lengths are in millimetres, angles in degrees counter-clockwise from +x,
 * times in seconds, motors in volts. Build it and run it:
 *
 * <pre>
 *   javac -d build Chalkfield.java Robot.java
 *   chalkfield run --program "java -cp build Robot"
 * </pre>
 */
public final class Robot {
  private Robot() {}

  static void auto(Chalkfield.Bot bot) {
    bot.part("intake").tell("run", 11); // the rollers turn while the robot drives
    bot.part("conveyor").tell("hold"); // keep what comes in, to place it later

    var result = bot.drive.ahead(600, "speed", 700); // waits until the robot is there
    if (!result.ok) {
      bot.note("stopped: " + result.why);
    }

    bot.drive.face(0); // look along +x
    bot.drive.trace(new double[][] {{900, 1100}, {1200, 900}}); // a smooth curve through points
    bot.pause(0.3);
    bot.note("done at " + bot.clock() + " s");
  }

  public static void main(String[] args) {
    new Chalkfield().auto(Robot::auto).title("first steps").start(600, 450, 90).play();
  }
}
