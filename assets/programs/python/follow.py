"""The simulated robot follows a table of setpoints. Rehearse it:

    chalkfield run mine.lua --nominal --setpoints plan.csv
    chalkfield run --program "python3 follow.py plan.csv"
"""
import sys

import chalkfield
import follower


def tell(bot, what, values):
    """Gives a command of the table to the robot: "intake.run" with [11]."""
    part, _, call = what.rpartition(".")
    getattr(getattr(bot, part) if part else bot, call)(*values)


def auto(bot):
    f, begin = follower.Follower(plan), bot.clock()
    while not f.done():
        at = bot.where()
        left, right = f.step(bot.clock() - begin, at.x, at.y, at.heading)
        bot.drive.volts(left, right)
        for what, values in f.due():
            tell(bot, what, values)
        bot.wait()
    bot.drive.stop()


plan = follower.read(sys.argv[1] if len(sys.argv) > 1 else "plan.csv")
chalkfield.play(auto=auto, title="follows a plan", side=plan.side, start=plan.start)
