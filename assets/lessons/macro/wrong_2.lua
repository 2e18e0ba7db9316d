-- Backs up to the box and lets the core out.
local function unload(bot)
  bot.drive:visit(1330, 1200, {reverse = true, speed = 700})
  bot.conveyor:run(6)
  wait(1)
  bot.conveyor:stop()
end

return routine {
  title = "one button for the box",
  start = {x = 1500, y = 1200, heading = 0},
  auto = function() end,
  driver = function(bot, pad)
    while true do
      if pad:pressed("a") then unload(bot) end
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
