-- Orchard Row, for rust with the Barrow: the pear and the fig on board make a gift in the low basket; then a pear and a fig
-- from the lower edge make one in the middle basket, so that two of the low row are rust's, and home into the shed.

-- Stands before a basket on the lower wall, nose to it, and runs the belt until it is empty.
local function unload(bot, x)
  bot.drive:visit(x, 470)
  bot.drive:face(-90)
  bot.drive:ahead(80, {speed = 250})
  bot.belt:run(7)
  await(function() return bot.belt:count() == 0 or bot.belt:jammed() end, 2.5)
  bot.belt:stop()
end

return routine {
  title = "two gifts, then the shed",
  side = "rust",
  start = {x = 330, y = 800, heading = 0},

  auto = function(bot)
    unload(bot, 900)

    -- Backwards along the wall: the intake is at the rear.
    bot.intake:run(7)
    bot.belt:hold()
    bot.drive:ahead(-60, {speed = 300})
    bot.drive:visit(1080, 440)
    bot.drive:face(180)
    bot.drive:ahead(-660, {speed = 400})
    await(function() return bot.belt:count() == 2 end, 0.6)
    bot.intake:stop()
    note(bot.belt:count() .. " on the belt")

    unload(bot, 2090)
    bot.drive:ahead(-60)
    bot.drive:visit(1300, 620)
    bot.drive:dock(300, 1350, 180)
  end,
}
