-- Cask Quay, with the Hauler: two casks out of the store, the last in first, onto the cart behind; then to the boat, two
-- casks as its people set them down, and with the full cart to the yard.

-- Pushes all on board onto the clamped cart.
local function load_cart(bot)
  bot.conveyor:run(9)
  await(function() return bot.conveyor:count() == 0 or bot.conveyor:jammed() end, 3)
end

return routine {
  title = "a cart filled from the store and the boat",
  side = "coral",
  start = {x = 1200, y = 600, heading = 180},

  auto = function(bot)
    bot.intake:run(11)
    bot.conveyor:run(6)
    bot.drive:ahead(345, {speed = 500, timeout = 1.5})
    await(function() return bot.conveyor:count() == 2 end, 1.5)
    bot.intake:stop()                    -- else it would take what the other side brings
    bot.conveyor:hold()

    bot.drive:ahead(-540, {speed = 350, timeout = 2.5})   -- gently: the cart tips at 600 mm/s
    bot.clamp:shut()
    wait(0.2)
    load_cart(bot)

    bot.drive:dock(1200, 700, -90, {within = 40})
    bot.intake:run(11)
    bot.drive:ahead(220, {speed = 300, timeout = 2})      -- not to the gangway: there are people's hands
    await(function() return bot.conveyor:count() == 2 end, 3)
    bot.intake:stop()
    load_cart(bot)
    bot.drive:dock(550, 1350, -90)
  end,
}
