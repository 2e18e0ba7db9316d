return routine {
  title = "straight to the mark",
  start = {x = 500, y = 600, heading = 0},
  auto = function(bot)
    bot.drive:face({1800, 1200})
    bot.drive:visit(1800, 1200, {speed = 700})
  end,
}
