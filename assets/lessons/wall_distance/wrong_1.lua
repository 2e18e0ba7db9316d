return routine {
  title = "to the near bay, by the wall",
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    local run = bot.drive:ahead(2100, {speed = 1000, background = true})
    while not run:done() do
      signal("x by the wall", 3600 - 205 - bot.sense.front:mm(), "mm")
      wait()
    end
    wait(0.2)                                -- stand, until the sensor has caught up
    local sum = 0
    for i = 1, 20 do
      sum = sum + bot.sense.front:mm()
      wait(0.04)
    end
    local p = bot.where()
    bot.here(3600 - sum / 20, p.y, p.heading)
    bot.drive:visit(3050, 600, {speed = 700})
  end,
}
