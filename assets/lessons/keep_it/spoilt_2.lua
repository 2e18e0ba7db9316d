-- "Take a run-up first."
return routine {
  title = "two cores, and no more",
  side = "chalk",
  start = {x = 500, y = 1200, heading = 0},
  auto = function(bot)
    bot.intake:run(11)
    bot.conveyor:hold()
    task(function()
      await(function() return bot.conveyor:count() == 2 end)
      bot.intake:stop()
    end)
    bot.drive:ahead(-300, {speed = 1500})
    bot.drive:ahead(2800, {speed = 800})
  end,
}
