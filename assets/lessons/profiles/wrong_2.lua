-- A tall robot drives two metres by a plan: it speeds up, keeps its speed, and slows down.
return routine {
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    local plan = profile{distance = 2000, speed = 1200, accel = 1200}
    while clock() < plan:seconds() + 0.2 do
      local place, speed, accel = plan:at(clock())  -- of this moment
      local behind = place - bot.sense.left_encoder:mm()
      signal("plan speed", speed, "mm/s")
      local volts = 0.02 * behind + 0.0075 * speed + 0.0006 * accel
      if speed > 0 then volts = volts + 1.2 end  -- friction
      volts = math.max(-12, math.min(12, volts))
      bot.drive:volts(volts, volts)
      wait()
    end
    bot.drive:volts(0, 0)
  end,
}
