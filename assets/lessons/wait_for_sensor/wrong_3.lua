return routine {
  title = "a core from the hatch",
  start = {x = 1200, y = 700, heading = 90},
  auto = function(bot)
    bot.drive:ahead(900, {speed = 900})
    bot.intake:run(11)
    bot.conveyor:hold()
    await(function() return bot.conveyor:count() == 1 end, 1.5)
    bot.intake:stop()
    bot.drive:visit(3050, 600, {reverse = true, speed = 1200})
  end,
}
