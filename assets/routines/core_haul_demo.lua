-- The demo on Core Haul, for ochre: a core from the row by the intake and one by the claw, a pair onto the low rack, then
-- the near sled: in tow it is filled through the robot from the block of cores, and hauled home to the camp.

-- Two cores at once: the claw's and the conveyor's. The robot stands with its back to the rack.
local function rack_pair(bot)
  bot.lift:reach("rack", 2)
  local before = bot.conveyor:count()
  bot.conveyor:run(9)
  bot.claw:place()
  await(function() return bot.conveyor:count() < before and not bot.claw:moving() end, 1)
  bot.conveyor:hold()
end

return routine {
  title = "a pair on the rack, a sled home",
  side = "ochre",
  start = {x = 600, y = 450, heading = 180},

  auto = function(bot)
    local haul = param("haul_speed", 700, 200, 1200)     -- mm/s with a sled in tow

    -- The first core of the row by the claw, which is at the robot's back.
    bot.claw:out()
    bot.drive:ahead(-60, {speed = 400})
    bot.claw:grab() wait(0.12)                           -- the jaws need their time
    if not bot.claw:holding() then note("no core in the claw") end
    bot.lift:to("carry")

    -- The second by the intake, behind the one loaded before the start. The conveyor keeps both.
    bot.intake:run(11)
    bot.conveyor:hold()
    bot.drive:face(0)
    bot.drive:ahead(200, {speed = 800})

    -- A pair onto the low rack, with the robot's back to the wall.
    bot.drive:visit(1562, 560)
    bot.intake:stop()
    bot.drive:face(90)
    bot.lift:to("rack")
    bot.drive:ahead(-260, {speed = 600})
    rack_pair(bot)

    -- The near sled, backwards onto its end.
    bot.lift:to("floor")
    bot.claw:back()
    bot.drive:visit(600, 1000, {reverse = true})
    bot.drive:face(-90)
    bot.drive:ahead(-165, {speed = 400})
    bot.clamp:shut()
    wait(0.2)
    if not bot.clamp:holding() then note("no sled in the clamp") end

    -- With the sled in tow every core that comes in goes through.
    bot.intake:run(11)
    bot.conveyor:run(10)
    bot.drive:visit(1210, 980)
    bot.drive:face(90)
    bot.drive:ahead(420, {speed = 400})

    -- Home.
    bot.drive:face(-135)
    bot.drive:dock(300, 470, -90, {speed = haul, accel = 1500, within = 25})
    bot.intake:stop()
    bot.conveyor:stop()
    note(string.format("home at %.1f s", clock()))
  end,

  -- The driver phase: left stick to drive, right stick to turn, the buttons run macros.
  driver = function(bot, pad)
    pad:bind("a", rack_pair)                             -- the pair, as in the autonomous phase
    pad:bind("b", function(bot)                          -- take the sled behind, or let it go
      if bot.clamp:is_shut() then bot.clamp:open() else bot.clamp:shut() end
    end)
    pad:bind("x", function(bot) bot.intake:run(11) bot.conveyor:hold() end)
    pad:bind("y", function(bot) bot.intake:stop() bot.conveyor:run(10) end)
    while true do
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait(0.01)
    end
  end,
}
