return routine {
  title = "round two posts, in one go",
  start = {x = 500, y = 900, heading = 0},
  auto = function(bot)
    bot.drive:trace({{1400, 540}, {2200, 1760}, {3100, 1800}}, {speed = 1400})
  end,
}
