-- Drives a robot whose own routine has no driver function: one stick forward and back, the other turns.
local wait = wait -- whatever the robot's own routine calls so

return routine {
  title = "driven by hand (arcade)",
  driver = function(bot, pad)
    while true do
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait(0.01)
    end
  end,
}
