-- The robot counts how far its wheels have rolled, and stops by that.
return routine {
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    bot.drive:volts(12, 12)
    while bot.sense.left_encoder:mm() < 2000 do
    end
    bot.drive:volts(0, 0)
  end,
}
