return routine {
  title = "to the far mark",
  side = "chalk",
  start = {x = 600, y = 1200, heading = 0},
  auto = function(bot)
    bot.drive:ahead(800, {speed = 700})
    local before = bot.sense.across:mm()
    wait(3)
    local slip = bot.sense.across:mm() - before
    local p = bot.where()
    bot.here(p.x, p.y - slip, p.heading)     -- the wrong way round
    bot.drive:visit(2600, 1200, {speed = 700})
  end,
}
