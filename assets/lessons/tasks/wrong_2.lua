return routine {
  title = "two cores, and no more",
  side = "chalk",
  start = {x = 500, y = 1200, heading = 0},
  auto = function(bot)
    bot.intake:run(11)                       -- the rollers turn
    bot.conveyor:hold()                      -- the belt keeps what comes in
    await(function() return bot.conveyor:count() == 2 end)    -- waits for ever: nobody drives
    bot.intake:stop()
    bot.drive:ahead(2500, {speed = 800})
  end,
}
