return routine {
  title = "fetch one core, and look again",
  start = {x = 600, y = 1200, heading = 0},
  auto = function(bot)
    bot.intake:run(11)
    bot.conveyor:hold()
    bot.drive:ahead(800, {speed = 700})
    for try, y in ipairs({1280, 1120}) do
      if bot.conveyor:count() == 0 then
        note("not there: I try y = " .. y)
        bot.drive:visit(1150, y, {reverse = true, speed = 900})
        bot.drive:face(0)
        bot.drive:ahead(300 + 200 * try, {speed = 700})
      end
    end
    bot.intake:stop()
  end,
}
