-- Practice Yard: a square, four sides and four turns, back onto the square mark. What the belief has lost shows at the end.

return routine {
  title = "once around a square",
  start = {x = 600, y = 600, heading = 90},

  auto = function(bot)
    for corner = 1, 4 do
      bot.drive:ahead(1200, {speed = 1000})
      bot.drive:face(90 - 90 * corner)
    end
    local here = bot.where()
    note(string.format("I believe to be at (%.0f, %.0f)", here.x, here.y))
    bot.drive:visit(600, 1800)
  end,
}
