return routine {
  title = "a core from the hatch",
  start = {x = 1200, y = 700, heading = 90},
  auto = function(bot)
    bot.drive:ahead(900, {speed = 1500})
    bot.intake:run(11)
    bot.conveyor:hold()
    if not await(function() return bot.conveyor:count() == 1 end, 4.1) then note("no core came") end
    bot.intake:stop()
    bot.drive:visit(3050, 600, {reverse = true, speed = 2000})
  end,
}
