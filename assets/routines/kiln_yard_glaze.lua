-- Kiln Yard, for plum with the Barrow: back into the glaze beside the rope, never over it, and fire it with the two bricks on
-- board: glaze counts 7 in the kiln.

return routine {
  title = "glaze from beside the rope",
  side = "plum",
  start = {x = 420, y = 1010, heading = 180},

  auto = function(bot)
    -- backwards into the column of glaze; the rope is at x = 1900 and the robot stays 400 mm short of it
    bot.intake:run(7)
    bot.belt:hold()
    bot.drive:ahead(-920, {speed = 700})
    bot.intake:stop()
    note(bot.belt:count() .. " on the belt")

    -- the kiln, nose first
    bot.drive:trace({{900, 1450}, {700, 1900}, {520, 2050}}, {speed = 700})
    bot.drive:face(180)
    bot.drive:ahead(90, {speed = 250})
    bot.belt:run(7)
    await(function() return bot.belt:count() == 0 end, 4)
    bot.belt:stop()

    bot.drive:dock(360, 1165, 90, {reverse = true})
  end,
}
