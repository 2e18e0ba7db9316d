-- Night Mail, with the Barrow: the two letters on board are a bundle for the first train, the parcel behind makes a delivery
-- of it; then to the office, nose to the wall.

-- Stands before the west sack, nose to it, and runs the belt until it is empty.
local function unload(bot)
  bot.drive:visit(470, 1950)
  bot.drive:face(180)
  bot.drive:ahead(80, {speed = 250})
  bot.belt:run(7)
  await(function() return bot.belt:count() == 0 or bot.belt:jammed() end, 2.5)
  bot.belt:stop()
end

return routine {
  title = "a bundle and a parcel, then the office",
  side = "post",
  start = {x = 430, y = 1350, heading = 90},

  auto = function(bot)
    unload(bot)

    -- The intake is at the rear.
    bot.intake:run(7)
    bot.belt:hold()
    bot.drive:ahead(-460, {speed = 450})
    await(function() return bot.belt:count() > 0 end, 0.6)
    bot.intake:stop()
    unload(bot)

    bot.drive:ahead(-80)
    bot.drive:visit(470, 700)
    bot.drive:face(180)
    bot.drive:ahead(320, {speed = 250, timeout = 1.8})   -- as far as the wall lets it
  end,
}
