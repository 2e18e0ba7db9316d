-- The other robot: it waits beside the way, and pushes whoever stands there. Each seed has a push of its own.
return routine {
  title = "a push from the side",
  side = "slate",
  start = {x = 1400, y = 350, heading = 90},
  auto = function(bot)
    wait(1.6)
    bot.drive:ahead(540 + 140 * math.random(), {speed = 500, timeout = 1.8})
    bot.drive:ahead(-300, {speed = 700})
  end,
}
