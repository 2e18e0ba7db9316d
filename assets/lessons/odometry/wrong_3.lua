return routine {
  title = "to the far mark",
  side = "chalk",
  start = {x = 600, y = 1200, heading = 0},
  auto = function(bot)
    bot.drive:ahead(800, {speed = 700})
    wait(3)
    local before = bot.sense.across:mm()     -- too late: the push is over
    local slip = bot.sense.across:mm() - before
    local p = bot.where()
    bot.here(p.x, p.y + slip, p.heading)
    bot.drive:visit(2600, 1200, {speed = 700})
  end,
}
