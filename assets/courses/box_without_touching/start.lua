-- The left stick drives, the right stick turns.
return routine {
  title = "box without touching",
  start = {x = 450, y = 1350, heading = -90},
  auto = function() end,
  driver = function(bot, pad)
    while true do
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
