"""The demo on Core Haul in Python: what core_haul_demo.lua does. Rehearse it:

    chalkfield run --program "python3 demo.py"
"""
import chalkfield


def rack_pair(bot):
    """Two cores at once: the claw's and the conveyor's. The robot stands with its back to the rack."""
    bot.lift.reach("rack", 2)
    before = bot.conveyor.count()
    bot.conveyor.run(9)
    bot.claw.place()
    bot.until(lambda: bot.conveyor.count() < before and not bot.claw.moving(), 1)
    bot.conveyor.hold()


def auto(bot):
    # The first core of the row by the claw, which is at the robot's back.
    bot.claw.out()
    bot.drive.ahead(-60, speed=400)
    bot.claw.grab()
    bot.wait(0.12)  # the jaws need their time
    if not bot.claw.holding():
        bot.note("no core in the claw")
    bot.lift.to("carry")

    # The second by the intake, behind the one loaded before the start. The conveyor keeps both.
    bot.intake.run(11)
    bot.conveyor.hold()
    bot.drive.face(0)
    bot.drive.ahead(200, speed=800)

    # A pair onto the low rack, with the robot's back to the wall.
    bot.drive.visit(1562, 560)
    bot.intake.stop()
    bot.drive.face(90)
    bot.lift.to("rack")
    bot.drive.ahead(-260, speed=600)
    rack_pair(bot)

    # The near sled, backwards onto its end.
    bot.lift.to("floor")
    bot.claw.back()
    bot.drive.visit(600, 1000, reverse=True)
    bot.drive.face(-90)
    bot.drive.ahead(-165, speed=400)
    bot.clamp.shut()
    bot.wait(0.2)
    if not bot.clamp.holding():
        bot.note("no sled in the clamp")

    # With the sled in tow every core that comes in goes through.
    bot.intake.run(11)
    bot.conveyor.run(10)
    bot.drive.visit(1210, 980)
    bot.drive.face(90)
    bot.drive.ahead(420, speed=400)

    # Home.
    bot.drive.face(-135)
    bot.drive.dock(300, 470, -90, speed=bot.param("haul_speed"), accel=1500, within=25)
    bot.intake.stop()
    bot.conveyor.stop()
    bot.note("home at %.1f s" % bot.clock())


def driver(bot):
    """Left stick to drive, right stick to turn; a puts a pair onto the rack, b takes the sled behind or lets it go."""
    while True:
        if bot.pad.pressed("a"):
            rack_pair(bot)
        if bot.pad.pressed("b"):
            bot.clamp.open() if bot.clamp.is_shut() else bot.clamp.shut()
        bot.drive.arcade(bot.pad.left_y, bot.pad.right_x)
        bot.wait()


chalkfield.play(
    auto=auto, driver=driver, title="a pair on the rack, a sled home", side="ochre", start=(600, 450, 180),
    params=[("haul_speed", 700, 200, 1200)],  # mm/s with a sled in tow
)
