-- A first routine for the Sorting Yard field. Lengths are in millimetres, angles in degrees counter-clockwise from +x,
-- times in seconds, motors in volts. Run it:  chalkfield run routine.lua
return routine {
  title = "first steps",
  side = "amber",
  start = {x = 700, y = 600, heading = 180},

  auto = function(bot)
    bot.intake:run(7)                                 -- it is at the rear: backwards to the first crate
    bot.belt:run(2.2)
    local r = bot.drive:ahead(-320, {speed = 350})    -- blocks this routine until the robot is there
    if not r.ok then note("stopped: " .. r.why) end

    bot.belt:hold()                                   -- brings the crate before the eye
    await(function() return bot.sense.eye:sees() end, 2)
    note("a " .. tostring(bot.sense.eye:kind()) .. " of " .. tostring(bot.sense.eye:side()))
    bot.drive:dock(420, 620, 180)                     -- home into the bay
  end,
}
