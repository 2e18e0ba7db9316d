-- The left stick drives, the right stick turns. Button a: the intake on, or off. Button b, held: out at the back.
-- The belt moves on by one place for each core that comes in.
return routine {
  title = "three pieces",
  start = {x = 500, y = 1200, heading = 0},
  auto = function() end,
  driver = function(bot, pad)
    local on, cores, moved = false, 0, 200        -- moved: mm of belt since the last core came in
    while true do
      if pad:pressed("a") then
        on = not on
        if on then bot.intake:run(11) else bot.intake:stop() end
      end
      if bot.conveyor:count() > cores then moved = 0 end
      cores = bot.conveyor:count()
      moved = moved + bot.conveyor:speed() * 0.01
      if pad:held("b") then bot.conveyor:run(9)
      elseif moved < 180 then bot.conveyor:run(6)
      else bot.conveyor:stop() end
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
