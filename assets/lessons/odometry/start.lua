return routine {
  title = "to the far mark",
  side = "chalk",
  start = {x = 600, y = 1200, heading = 0},
  auto = function(bot)
    bot.drive:ahead(800, {speed = 700})
    wait(3)  -- the other robot comes by
    bot.drive:visit(2600, 1200, {speed = 700})
    local p = bot.where()
    note(string.format("I believe to be at (%.0f, %.0f)", p.x, p.y))
  end,
}
