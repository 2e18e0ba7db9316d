-- The robot drives ahead. How far does it come?
return routine {
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    bot.drive:volts(6, 6)  -- left wheels, right wheels
    wait(2.0)  -- seconds
    bot.drive:volts(0, 0)  -- stop
  end,
}
