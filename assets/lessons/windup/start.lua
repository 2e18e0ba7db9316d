-- The robot turns round, by what is left. P pushes, and I pushes more the longer something is left.
return routine {
  start = {x = 1200, y = 1200, heading = 0},
  auto = function(bot)
    local p = 0.2  -- volts for each degree left
    local i = 0  -- volts for each degree and second
    local sum = 0
    while clock() < 2 do
      local left = 180 - bot.sense.inertial:heading()
      signal("left", left, "deg")
      sum = sum + left * 0.01
      signal("push of I", i * sum, "V")
      local volts = math.max(-12, math.min(12, p * left + i * sum))
      bot.drive:volts(-volts, volts)
      wait()
    end
    bot.drive:volts(0, 0)
  end,
}
