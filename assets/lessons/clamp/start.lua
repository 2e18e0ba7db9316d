return routine {
  title = "a sled home",
  side = "chalk",
  start = {x = 600, y = 1300, heading = 180},
  auto = function(bot)
    bot.drive:visit(2060, 1550, {reverse = true, speed = 1000})
    bot.clamp:shut()
    bot.drive:visit(400, 400)
  end,
}
