-- The left stick drives, the right stick turns. Button a: the clamp at the back shuts, or opens.
return routine {
  title = "a sled through a gate",
  start = {x = 2600, y = 1200, heading = 180},
  auto = function() end,
  driver = function(bot, pad)
    while true do
      if pad:pressed("a") then
        if bot.clamp:is_shut() then bot.clamp:open() else bot.clamp:shut() end
      end
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
