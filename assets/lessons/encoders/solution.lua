-- The robot counts how far its wheels have rolled, and slows down before it stops.
return routine {
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    bot.drive:volts(12, 12)
    while bot.sense.left_encoder:mm() < 1850 do
      wait()
    end
    bot.drive:volts(3, 3)
    while bot.sense.left_encoder:mm() < 1995 do
      wait()
    end
    bot.drive:volts(0, 0)
  end,
}
