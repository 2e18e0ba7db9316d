-- Practice Yard: a curve through three points into the far bay. Compare with the same points driven stop, turn and go.

return routine {
  title = "a curve into the far bay",
  start = {x = 600, y = 600, heading = 0},

  auto = function(bot)
    local speed = param("speed", 1000, 200, 1800)
    local r = bot.drive:trace({{1300, 700}, {1900, 1300}, {2500, 1800}, {3050, 1800}}, {speed = speed})
    note(string.format("curve: %s in %.2f s", r.why, r.took))
  end,
}
