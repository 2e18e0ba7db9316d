return routine {
  title = "row, near sled, home",
  side = "ochre",
  start = {x = 600, y = 450, heading = 0},
  auto = function(bot)
    bot.intake:run(11)
    bot.conveyor:hold()
    bot.drive:ahead(480, {speed = 900})
    note("cores: " .. bot.conveyor:count())
  end,
}
