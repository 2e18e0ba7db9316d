return routine {
  title = "to the near bay",
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    local run = bot.drive:ahead(2100, {speed = 1000, background = true})
    while not run:done() do
      signal("x by the wall", 3600 - bot.sense.front:mm(), "mm")
      wait()
    end
    bot.drive:visit(3050, 600, {speed = 700})
  end,
}
