-- Sorting Yard, for amber with the Sifter: three crates from the floor, a line and a mark to know the place by, then
-- the tray: its own crates go in, the other side's is thrown out by the gate.

local tape_ahead, camera_ahead = 180, 120     -- mm before the robot's middle: as in the robot file

-- Drives along x until the line sensor is on the edge of a tape, whose x is known: so the robot's own is.
local function to_the_tape(bot, edge)
  local run = bot.drive:ahead(400, {speed = 200, background = true})
  local found = await(function() return bot.sense.tape:share() > 0.5 or run:done() end) and not run:done()
  run:cancel()
  if not found then return note("no tape") end
  local at = bot.where()
  local x = edge - tape_ahead * math.cos(math.rad(at.heading))
  note(string.format("the tape puts x right by %.0f mm", x - at.x))
  bot.here(x, at.y, at.heading)
end

-- Where the robot must be to see a mark so far away, at such a bearing, with that heading.
local function seen_from(mark, heading)
  local toward, ahead = math.rad(heading + mark.bearing), math.rad(heading)
  return mark.x - mark.range * math.cos(toward) - camera_ahead * math.cos(ahead),
    mark.y - mark.range * math.sin(toward) - camera_ahead * math.sin(ahead)
end

-- Stands still, looks at the nearest mark eight times and takes the mean for the truth: each look has noise.
local function look_around(bot)
  local at, x, y, looks = bot.where(), 0, 0, 0
  wait(0.2)                                   -- what is seen is as old as the camera's latency
  for _ = 1, 8 do
    local nearest = bot.sense.camera:seen()[1]
    if nearest then
      local from_x, from_y = seen_from(nearest, at.heading)
      x, y, looks = x + from_x, y + from_y, looks + 1
    end
    wait(0.04)
  end
  if looks == 0 then return note("no mark to be seen") end
  note(string.format("%d looks put it right by (%.0f, %.0f) mm", looks, x / looks - at.x, y / looks - at.y))
  bot.here(x / looks, y / looks, at.heading)
end

-- Brings the next crate before the eye, sets the gate and sends the crate on. False: there is none.
local function sort_one(bot)
  bot.belt:hold()
  if not await(function() return bot.belt:holding() and bot.sense.eye:sees() end, 1.5) then return false end
  local side = bot.sense.eye:side()
  note((side == "amber" and "keeps a " or "throws out a ") .. tostring(bot.sense.eye:kind()))
  if side == "amber" then bot.gate:shut() else bot.gate:open() end
  await(function() return not bot.gate:moving() end, 0.5)
  local gone = bot.gate:thrown() + bot.tipper:scored()
  bot.belt:run(6)
  return await(function() return bot.gate:thrown() + bot.tipper:scored() > gone end, 2)
end

return routine {
  title = "three crates, sorted",
  side = "amber",
  start = {x = 700, y = 600, heading = 180},

  auto = function(bot)
    bot.intake:run(7)                         -- it is at the rear: backwards over the crates
    bot.belt:run(2.2)                         -- about as fast as the crates come, so that there is room for the next
    local run = bot.drive:ahead(-700, {speed = 350, background = true})
    await(function() return bot.belt:count() == 3 or run:done() end)
    bot.belt:stop()
    run:join()
    bot.intake:stop()

    bot.drive:visit(1250, 1500)
    bot.drive:face(180)
    to_the_tape(bot, 920)
    look_around(bot)
    bot.drive:dock(440, 1500, 180)
    while sort_one(bot) do end
    bot.belt:stop()
    bot.gate:shut()

    bot.drive:ahead(-250)
    bot.drive:face(-120)                      -- to the pole in the corner: turning has made the place doubtful
    look_around(bot)
    bot.drive:visit(420, 600)
  end,
}
