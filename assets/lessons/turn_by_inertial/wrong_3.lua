-- The robot waits for its partner, then turns to the left until its inertial sensor says 90 degrees.
return routine {
  start = {x = 1200, y = 1200, heading = 0},
  auto = function(bot)
    wait(3)  -- the partner goes first
    local before = bot.sense.inertial:heading()
    bot.drive:volts(-6, 6)
    while bot.sense.inertial:heading() < before + 45 do wait() end
    bot.drive:volts(-3, 3)
    while bot.sense.inertial:heading() < before + 90 do wait() end
    bot.drive:volts(0, 0)
  end,
}
