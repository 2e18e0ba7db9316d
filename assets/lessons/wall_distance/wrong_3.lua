return routine {
  title = "to the near bay, by the wall",
  start = {x = 600, y = 600, heading = 0},
  auto = function(bot)
    local run = bot.drive:ahead(2100, {speed = 1000, background = true})
    wait(1.8)                                -- still driving: what the sensor says is old
    local sum = 0
    for i = 1, 5 do
      sum = sum + bot.sense.front:mm()
      wait(0.04)
    end
    local p = bot.where()
    bot.here(3600 - 205 - sum / 5, p.y, p.heading)
    run:join()
    bot.drive:visit(3050, 600, {speed = 700})
  end,
}
