-- The first routine of the README: a core from the row, the near sled, home.

return routine {
  title = "two cores onto the near sled",
  side = "ochre",
  start = {x = 600, y = 450, heading = 0},

  auto = function(bot)
    -- 1. a core from the row; one is loaded before the start
    bot.intake:run(11)                              -- rollers at 11 V
    bot.conveyor:hold()                             -- keep what comes in
    bot.drive:ahead(180, {speed = 700})             -- 180 mm forward
    note(bot.conveyor:count() .. " cores on board")

    -- 2. back onto the near sled, which stands at (600, 1500): the clamp is at the robot's back
    bot.drive:visit(600, 950, {reverse = true})
    bot.drive:face(-90)                             -- its flat side looks this way
    bot.drive:ahead(-200, {speed = 400})
    bot.clamp:shut()
    wait(0.2)                                       -- the piston needs its time

    -- 3. unload, and haul the sled home
    if bot.clamp:holding() then
      bot.conveyor:run(10)
      wait(1)
      bot.drive:dock(300, 420, -90, {speed = 700})
    else
      note("no sled in the clamp")
    end
  end,
}
