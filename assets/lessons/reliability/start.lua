return routine {
  title = "fetch one core",
  start = {x = 600, y = 1200, heading = 0},
  auto = function(bot)
    bot.intake:run(11)
    bot.conveyor:hold()
    bot.drive:ahead(800, {speed = 700})
    bot.intake:stop()
  end,
}
