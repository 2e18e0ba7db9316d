-- The left stick drives, the right stick turns.
return routine {
  title = "straight line",
  start = {x = 500, y = 900, heading = 5},
  auto = function() end,
  driver = function(bot, pad)
    while true do
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
