-- A first routine for the Kiln Yard field. Lengths are in millimetres, angles in degrees counter-clockwise from +x,
-- times in seconds, motors in volts. Run it:  chalkfield run routine.lua
return routine {
  title = "first steps",
  side = "plum",
  start = {x = 420, y = 1200, heading = 90},

  auto = function(bot)
    local r = bot.drive:visit(470, 2050)              -- blocks this routine until the robot is there
    if not r.ok then note("stopped: " .. r.why) end

    bot.drive:face(180)                               -- nose to the kiln
    bot.drive:ahead(45, {speed = 250})
    bot.belt:run(7)                                   -- the two bricks on board go in
    await(function() return bot.belt:count() == 0 end, 2.5)
    bot.belt:stop()
    note("done at " .. clock() .. " s")
  end,
}
