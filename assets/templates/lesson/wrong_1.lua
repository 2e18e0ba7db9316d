return routine {
  title = "stop on the mark",
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    bot.drive:ahead(-300)
  end,
}
