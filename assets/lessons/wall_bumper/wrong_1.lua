return routine {
  title = "two walls, then the mark",
  start = {x = 500, y = 600, heading = 0},
  auto = function(bot)
    -- backwards onto the left wall
    bot.drive:volts(-3, -3)
    await(function() return bot.sense.rear:pressed() end, 3)
    wait(0.3)                                -- the other corner comes to the wall too
    bot.drive:stop()
    bot.here(0, bot.where().y, 0)

    -- backwards onto the lower wall
    bot.drive:ahead(390, {speed = 700})
    bot.drive:face(90)
    bot.drive:volts(-3, -3)
    await(function() return bot.sense.rear:pressed() end, 3)
    wait(0.3)
    bot.drive:stop()
    bot.here(bot.where().x, 0, 90)

    -- to the mark: away from the wall first
    bot.drive:ahead(300, {speed = 700})
    bot.drive:face({1800, 1200})
    bot.drive:visit(1800, 1200, {speed = 700})
  end,
}
