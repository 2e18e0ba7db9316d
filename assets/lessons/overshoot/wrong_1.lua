-- A heavy and quick robot drives to the wall. P pushes it on, D holds it back.
return routine {
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    local p = 0.0073  -- volts for each mm left
    local d = 0  -- volts for each mm in a second
    local before = bot.sense.front:mm() - 40
    while clock() < 2.5 do
      local left = bot.sense.front:mm() - 40  -- 40 mm before the wall
      signal("left", left, "mm")
      local change = (left - before) / 0.01  -- mm in a second: the loop runs every 0.01 s
      before = left
      local volts = p * left + d * change
      volts = math.max(-12, math.min(12, volts))  -- never more than 12, either way
      bot.drive:volts(volts, volts)
      wait()
    end
    bot.drive:volts(0, 0)
  end,
}
