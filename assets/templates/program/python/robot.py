"""A first program for the Core Haul field. Lengths are in millimetres, angles in degrees counter-clockwise from +x,
times in seconds, motors in volts. Run it:  chalkfield run --program "python3 robot.py"
"""
import chalkfield


def auto(bot):
    bot.intake.run(11)                             # the rollers turn while the robot drives
    bot.conveyor.hold()                            # keep what comes in, to place it later

    result = bot.drive.ahead(600, speed=700)       # waits until the robot is there
    if not result.ok:
        bot.note("stopped: " + result.why)

    bot.drive.face(0)                              # look along +x
    bot.drive.trace([(900, 1100), (1200, 900)])    # a smooth curve through points
    bot.wait(0.3)
    bot.note("done at %.2f s" % bot.clock())


chalkfield.play(auto=auto, title="first steps", start=(600, 450, 90))
