-- The robot drives to the wall, by the distance that is left. The less is left, the fewer volts it takes.
return routine {
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    local p = 0.02  -- volts for each mm left
    while clock() < 4 do
      local left = bot.sense.front:mm() - 50  -- 50 mm before the wall
      signal("left", left, "mm")
      local volts = math.min(12, p * left)  -- never more than 12
      bot.drive:volts(volts, volts)
      wait()
    end
    bot.drive:volts(0, 0)
  end,
}
