-- The left stick drives, the right stick turns.
return routine {
  title = "parking backwards",
  start = {x = 600, y = 1650, heading = 0},
  auto = function() end,
  driver = function(bot, pad)
    while true do
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
