return routine {
  title = "two cores, and no more",
  side = "chalk",
  start = {x = 500, y = 1200, heading = 0},
  auto = function(bot)
    bot.intake:run(11)  -- rollers
    bot.conveyor:hold()  -- belt
    bot.drive:ahead(2500, {speed = 800})
    bot.intake:stop()
  end,
}
