-- Kiln Yard, for plum with the Barrow: unload the two bricks on board into the kiln, fetch a third backwards (the intake is
-- at the rear, the tipper at the front), and end in the shelter.

-- Stands before the kiln, nose to it, and runs the belt until it is empty.
local function unload(bot)
  bot.drive:visit(470, 2050)
  bot.drive:face(180)
  bot.drive:ahead(70, {speed = 250})
  bot.belt:run(7)
  await(function() return bot.belt:count() == 0 or bot.belt:jammed() end, 2.5)
  bot.belt:stop()
end

return routine {
  title = "three bricks, then shelter",
  side = "plum",
  start = {x = 420, y = 1200, heading = 90},

  auto = function(bot)
    unload(bot)

    bot.intake:run(7)
    local r = bot.drive:ahead(-420, {speed = 500})
    if not r.ok then note("backing up: " .. r.why) end
    await(function() return bot.belt:count() > 0 end, 0.6)
    bot.intake:stop()
    note(bot.belt:count() .. " on the belt")

    unload(bot)
    bot.drive:dock(360, 1165, 90, {reverse = true})
  end,
}
