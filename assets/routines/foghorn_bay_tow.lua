-- Foghorn Bay, for coral with the Hauler: take the near buoy behind, put the lamp on board onto it and the one before the bow
-- through the boat, and tow it home into the harbour.

return routine {
  title = "two lamps, a buoy home",
  side = "coral",
  start = {x = 1200, y = 750, heading = -90},

  auto = function(bot)
    bot.drive:ahead(-215, {speed = 400})
    bot.clamp:shut()
    wait(0.2)
    if not bot.clamp:holding() then note("no buoy in the clamp") end

    -- With the buoy in tow every lamp goes through.
    bot.intake:run(11)
    bot.conveyor:run(10)
    bot.drive:ahead(340, {speed = 450})
    await(function() return bot.conveyor:count() == 0 end, 1)

    bot.drive:face(0)
    bot.drive:dock(2500, 330, 0, {speed = 700, accel = 1500})
    bot.intake:stop()
    bot.conveyor:stop()
    note(string.format("home at %.1f s", clock()))
  end,
}
