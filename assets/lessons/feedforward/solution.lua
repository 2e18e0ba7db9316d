-- The robot keeps its place in a convoy: 300 mm a second for the first second, then 900 mm a second.
return routine {
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    local p = 0.05  -- volts for each mm behind
    local a = 1.2  -- volts to overcome friction
    local b = 0.0075  -- volts for each mm a second
    local place, sum, times = 0, 0, 0
    while clock() < 3 do
      local speed = 300
      if clock() > 1 then speed = 900 end
      place = place + speed * 0.01  -- where the convoy is
      local behind = place - bot.sense.left_encoder:mm()
      signal("behind", behind, "mm")
      local volts = p * behind + a + b * speed
      volts = math.max(-12, math.min(12, volts))
      bot.drive:volts(volts, volts)
      sum = sum + math.abs(behind)
      times = times + 1
      wait()
    end
    bot.drive:volts(0, 0)
    result("behind", sum / times, "mm")  -- on average
  end,
}
