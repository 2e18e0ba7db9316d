-- A first routine for the Core Haul field. Lengths are in millimetres, angles in degrees counter-clockwise from +x,
-- times in seconds, motors in volts. Run it:  chalkfield run routine.lua
return routine {
  title = "first steps",
  start = {x = 600, y = 450, heading = 90},

  auto = function(bot)
    bot.intake:run(11)                                -- the rollers turn while the robot drives
    bot.conveyor:hold()                               -- keep what comes in, to place it later

    local r = bot.drive:ahead(600, {speed = 700})     -- blocks this routine until the robot is there
    if not r.ok then note("stopped: " .. r.why) end

    bot.drive:face(0)                                 -- look along +x
    bot.drive:trace({{900, 1100}, {1200, 900}})       -- a smooth curve through points
    wait(0.3)
    note("done at " .. clock() .. " s")
  end,
}
