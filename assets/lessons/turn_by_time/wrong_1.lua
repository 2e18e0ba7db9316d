-- The robot turns to the left, for a time. It looks to the right now; it is to look up, along the line.
return routine {
  start = {x = 1200, y = 1200, heading = 0},
  auto = function(bot)
    bot.drive:volts(-6, 6)  -- left wheels back, right ahead
    wait(1.1)
    bot.drive:volts(0, 0)
  end,
}
